/** The page of the screen tests: the real screens over the fake core, which hangs on `window.fake` for the test to turn. */
import { startShell } from "../../shell/app";
import { lookNow, showLook } from "../../shell/components/look";
import { CoreError, type Procedure } from "../../shell/core_types";
import { fetchLate, loadLateBy } from "../../shell/screens/later";
import { loadSketches } from "../../shell/sketches/figure";
import { FakeCore } from "./fake_core";
import { demoScene } from "./scene";

declare global {
  interface Window {
    fake: FakeCore;
    CoreError: typeof CoreError;
  }
}

async function main(): Promise<void> {
  showLook(lookNow());
  const procedure = (await (await fetch("/procedure.json")).json()) as Procedure;
  const core = new FakeCore(demoScene(procedure));
  window.fake = core;
  window.CoreError = CoreError;
  core.storeShut = location.search === "?store-shut";
  loadLateBy(location.search === "?late-away" ? () => Promise.reject(new Error("not on this phone")) : () => import("../../shell/screens/late"));
  await loadSketches("/sketches.json");
  const [root, announcer] = [document.getElementById("app"), document.getElementById("announcer")];
  if (!root || !announcer) throw new Error("no place for the shell");
  await startShell(core, root, announcer);
  fetchLate(); // as after the first paint
  const follow = (): void => void (core.calls.hash = location.hash); // after the shell's own listener
  follow();
  addEventListener("hashchange", follow);
  document.documentElement.dataset["mounted"] = "yes";
}

void main();
