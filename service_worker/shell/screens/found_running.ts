/** A heater that was left off and was found in service: said, shown by nobody to be safe, and shut off again or proven. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView, Record_ } from "../core_types";
import { jobHref } from "../router";
import { leftOffBefore } from "./stands_off";

/** As the rules have it: what a `put_back` begins with that says so. */
export const FOUND_IN_SERVICE = "Found in service: ";
export const SAID_IN_SERVICE = "Said to be in service, shown by nobody to be safe";

type Back = Record_["put_back"][number];

export function isFoundInService({ counts, words }: Back): boolean {
  return counts === false && words.startsWith(FOUND_IN_SERVICE);
}

/** What to do at once, in the rules' words, while what was found in service counts as off; advice of an older shell has none. */
export function runsUnshown(view: JobView): string | null {
  const words = view.card.state === "open" ? (view.advice?.put_back?.found_words ?? null) : null;
  const named = view.record.put_back.findLast(isFoundInService)?.left_off_ids ?? null;
  return named === null || leftOffBefore(view).some(({ event_id }) => named.includes(event_id)) ? words : null;
}

/** In full, with both ways on: the first of them is to shut it off. */
export function shutItOff({ card }: JobView, words: string): TemplateResult {
  return html`<section class="strip stack" data-kind="bad" data-runs-unshown role="alert"><p><strong>${SAID_IN_SERVICE}.</strong> ${words}</p>
    <a class="button wide" data-kind="bad" href=${jobHref(card.job_id, "left-off")}>Shut off again: tag it</a></section>`;
}

/** Over every screen, until it is shut off or shown. */
export function runsStrip({ card }: JobView, route: string, words: string | null): TemplateResult[] {
  if (!words || route === "put-back") return [];
  return [html`<p class="visit-strip" data-kind="bad" data-runs-unshown role="status"><span><strong>${SAID_IN_SERVICE}.</strong><span class="can-fold"> ${words}</span></span>
    ${route === "left-off" ? nothing : html`<a class="visit-way" href=${jobHref(card.job_id, "left-off")}>Shut it off</a>`}</p>`];
}
