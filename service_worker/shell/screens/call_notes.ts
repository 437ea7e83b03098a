/** What can hurt whoever goes there: what another visit found, alarms that callers told of, and a heater that stands off. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import { jobHref } from "../router";
import { clockWords } from "../words";
import { foundBox } from "./found_elsewhere";
import { otherCallBox } from "./other_calls";
import { leftOffBefore, leftOffWords } from "./stands_off";

type Asked = "smell_of_gas" | "co_alarm" | "unwell" | "water_leak";

export const ASKED: [id: Asked, words: string][] = [
  ["smell_of_gas", "smell of gas"], ["co_alarm", "CO alarm"], ["unwell", "somebody unwell"], ["water_leak", "water where it should not be"],
];

/** First of all on the job's page. */
export function whatCanHurt(view: JobView): TemplateResult {
  return html`${foundBox(view)}${otherCallBox(view)}${alarmStrip(view)}${leftOffStrip(view)}`;
}

function alarmStrip({ record }: JobView): TemplateResult | typeof nothing {
  const call = record.call;
  const said = call ? ASKED.filter(([id]) => call[id] === "yes") : [];
  const unsure = call ? ASKED.filter(([id]) => call[id] === "unsure") : [];
  if (said.length + unsure.length === 0) return nothing;
  return html`<div class="strip" data-kind="bad" data-alarm>
    ${said.length > 0 ? html`<p><strong>The caller said: ${said.map(([, words]) => words).join(", ")}.</strong></p>` : nothing}
    ${unsure.length > 0 ? html`<p><strong>The caller was not sure: ${unsure.map(([, words]) => words).join(", ")}.</strong></p>` : nothing}
    <p>CO meter on before the door. Gas smelled: nobody in, no switches, call from outside.</p></div>`;
}

/** A heater that somebody left off here: nobody switches it on before they know why. */
function leftOffStrip(view: JobView): TemplateResult | typeof nothing {
  const left = leftOffBefore(view);
  const { card } = view;
  if (left.length === 0) return nothing;
  return html`<div class="strip" data-kind="caution" data-left-off>${left.map((one) => html`<p><strong>${leftOffWords(one)}.</strong> ${view.advice?.put_back?.found_words ? "Found in service, and shown by nobody to be safe." : one.found_wall ? `Found in service ${clockWords(one.found_wall)}, and shown by nobody to be safe: it may be running. Look before anything else, and shut it off.` : "It stands off and tagged until it is shown to be safe."}</p>`)}
    ${card.state === "open" ? html`<p><a class="inline-link" href=${jobHref(card.job_id, "put-back")}>Note that it is back in service</a></p>` : nothing}</div>`;
}
