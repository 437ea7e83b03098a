/** Further down on a job's page: what this address already told, who called in what words, and what stands before going down. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import { jobHref } from "../router";
import { beforeGoingDown } from "./before";
import { callFacts } from "./call_facts";
import { earlierVisits } from "./earlier";
import type { Stage } from "./screen";
import { unsavedForms } from "./unsaved";

export function homeRest(stage: Stage, view: JobView): TemplateResult {
  const going = view.card.state === "booked" || view.card.state === "open";
  return html`${unsavedForms(stage, view)} ${earlierVisits(view)}
    ${callFacts(view)}
    ${going ? beforeGoingDown(stage, view) : nothing}
    <p><a class="inline-link" href=${jobHref(view.card.job_id, "words")}>Words of the trade</a></p>`;
}
