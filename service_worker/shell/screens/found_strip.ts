/** What another visit found unsafe, over every screen of the walk. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import { jobHref } from "../router";
import { shortClockWords } from "../words";
import { sinceWords } from "./found_elsewhere";
import type { Stage } from "./screen";

/** In a line or two, with the way to look again; the job's own page and the stop screen say it themselves. */
export function foundStrips(stage: Stage, view: JobView): TemplateResult[] {
  const [first, ...rest] = view.elsewhere.filter((one) => !one.other_heater);
  const { route } = stage;
  const isSaid = route.name === "home" || (route.name === "walk" && view.advice?.gate.state === "stopped");
  if (!first || isSaid || view.card.state !== "open") return [];
  const asked = route.name === "check" ? route.arg : route.name === "walk" ? view.advice?.gate.next_check : null;
  const who = view.people[first.person_id];
  return [html`<p class="visit-strip" data-kind="bad" data-elsewhere role="status"><span><strong>Another visit, ${shortClockWords(first.wall)}${who ? `, ${who}` : ""}: ${first.words}</strong>${rest.length > 0 ? ` and ${rest.length} more` : ""}.<span class="can-fold"> ${first.stop_words ?? sinceWords(first.repaired)}</span></span>
    ${!first.look || asked === first.look ? nothing : html`<a class="visit-way" href=${jobHref(view.card.job_id, "check", first.look)}>Look again</a>`}</p>`];
}
