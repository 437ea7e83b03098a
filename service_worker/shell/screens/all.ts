/** Which screen an address means. */
import { html } from "lit-html";
import { checksScreen, oneCheckScreen } from "./checks";
import { causeScreen, closeScreen, repairScreen } from "./finish";
import { jobHomeScreen } from "./job_home";
import { jobsScreen } from "./jobs";
import { leftOffScreen, noteScreen } from "./note";
import { phoneScreen } from "./phone";
import { proofScreen } from "./proof";
import { recordScreen } from "./record";
import type { Screen, Stage } from "./screen";
import { signInScreen } from "./sign_in";
import { hunchScreen, suspectsScreen } from "./suspects";
import { viewOf } from "./view_of";
import { walkScreen } from "./walk";

export function screenFor(stage: Stage): Screen {
  const { route } = stage;
  if (!("job" in route)) {
    if (route.name === "sign-in") return stage.core.person.value ? jobsScreen(stage) : signInScreen(stage);
    return route.name === "jobs" ? jobsScreen(stage) : route.name === "phone" ? phoneScreen(stage) : lostScreen();
  }
  const view = viewOf(stage);
  if (!view) return openingScreen(stage);
  switch (route.name) {
    case "home": return jobHomeScreen(stage, view);
    case "walk": return walkScreen(stage, view);
    case "check": return oneCheckScreen(stage, view, route.arg);
    case "checks": return checksScreen(stage, view);
    case "suspects": return suspectsScreen(stage, view);
    case "hunch": return hunchScreen(stage, view);
    case "record": return recordScreen(stage, view);
    case "cause": return causeScreen(stage, view);
    case "repair": return repairScreen(stage, view);
    case "proof": return proofScreen(stage, view);
    case "close": return closeScreen(stage, view, route.arg);
    case "left-off": return leftOffScreen(stage, view);
    case "note": return noteScreen(stage, view);
  }
}

function openingScreen(stage: Stage): Screen {
  const failed = stage.fault.value !== null;
  return {
    title: failed ? "Not here" : "Opening", key: "opening",
    body: html`<h1 tabindex="-1">${failed ? "This job could not be opened" : "Opening the job…"}</h1>
      <p>${failed ? "It may belong to another phone, or has not come down yet." : "It is read from this phone."}</p>
      ${failed ? html`<a class="button wide" href="#/jobs">To the jobs</a>` : ""}`,
  };
}

function lostScreen(): Screen {
  return {
    title: "No such page", key: "unknown",
    body: html`<h1 tabindex="-1">There is no such page</h1><p>The address is not one of ours. Nothing is lost.</p><a class="button wide" data-lamp href="#/jobs">To the jobs</a>`,
  };
}
