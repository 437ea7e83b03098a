/** Starts the phone's shell: the look, the core, the first screen; then the network may come. */
import { startShell } from "./app";
import { lookNow, showLook } from "./components/look";
import { createCore } from "./core";
import { SKETCHES_URL } from "./generated/shell_assets";
import { fetchLate, loadLateBy } from "./screens/later";
import { loadSketches } from "./sketches/figure";

/** The first screen is painted by then, on a slow phone too. */
const PAINTED_MS = 150;

async function main(): Promise<void> {
  showLook(lookNow());
  const root = document.getElementById("app");
  const announcer = document.getElementById("announcer");
  if (!root || !announcer) throw new Error("index.html has no place for the shell");
  loadLateBy(() => import("./screens/late"));
  await startShell(createCore(), root, announcer);
  setTimeout(() => {
    fetchLate();
    void loadSketches(SKETCHES_URL);
  }, PAINTED_MS);
}

void main();
