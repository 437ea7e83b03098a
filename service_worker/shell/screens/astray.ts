/** Where an address leads that nobody taps: to no page, or into a walk that is not begun. */
import { html } from "lit-html";
import type { JobView } from "../core_types";
import { jobHref } from "../router";
import type { Screen } from "./screen";

export function lostScreen(): Screen {
  return {
    title: "No such page", key: "unknown",
    body: html`<h1 tabindex="-1">There is no such page</h1><p>The address is not one of ours. Nothing is lost.</p><a class="button wide" data-lamp href="#/jobs">To the jobs</a>`,
  };
}

export function notBegunScreen(view: JobView): Screen {
  return {
    title: "Not begun", key: "not begun",
    body: html`<h1 tabindex="-1">This job is not begun</h1><p>The walk starts on the job's own page.</p>
      <a class="button wide" data-lamp href=${jobHref(view.card.job_id)}>To the job</a>`,
  };
}
