/** Which screen an address means. */
import { html } from "lit-html";
import { jobHomeScreen } from "./job_home";
import { jobsScreen } from "./jobs";
import { lateScreen } from "./later";
import type { Screen, Stage } from "./screen";
import { viewOf } from "./view_of";
import { walkScreen } from "./walk";

export function screenFor(stage: Stage): Screen {
  const { route } = stage;
  if (!("job" in route)) {
    if (route.name === "sign-in") return stage.core.person.value ? jobsScreen(stage) : lateScreen(stage, (late) => late.signInScreen(stage));
    if (route.name === "phone") return lateScreen(stage, (late) => late.phoneScreen(stage));
    return route.name === "jobs" ? jobsScreen(stage) : lateScreen(stage, (late) => late.lostScreen());
  }
  const view = viewOf(stage);
  if (!view) return openingScreen(stage);
  if (route.name === "home") return jobHomeScreen(stage, view);
  if (route.name === "walk") return walkScreen(stage, view);
  return lateScreen(stage, (late) => late.jobScreen(stage, view, route));
}

function openingScreen(stage: Stage): Screen {
  const failed = stage.fault.value !== null;
  return {
    title: failed ? "Not here" : "Opening", key: "opening",
    body: html`<h1 tabindex="-1">${failed ? "This job could not be opened" : "Opening the job…"}</h1>
      <p>${failed ? "Everything you saved is on this phone. This job may belong to another phone, or has not come down yet: stand where there is signal, then open it again." : "It is read from this phone."}</p>
      ${failed ? html`<a class="button wide" href="#/jobs">To the jobs</a>` : ""}`,
  };
}
