/** What the caller said, alarm first; and what the address says about getting in. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView, Record_ } from "../core_types";
import { jobHref } from "../router";
import { clockWords, count, dayWords } from "../words";
import { leftOffBefore, leftOffWords } from "./stands_off";

type Call = NonNullable<Record_["call"]>;
type Asked = "smell_of_gas" | "co_alarm" | "unwell" | "water_leak";

const ASKED: [id: Asked, words: string][] = [
  ["smell_of_gas", "smell of gas"], ["co_alarm", "CO alarm"], ["unwell", "somebody unwell"], ["water_leak", "water where it should not be"],
];
const LATELY: { [id: string]: string } = {
  moved: "moved in", serviced: "serviced", renovated: "renovated", new_heater: "new heater", new_fan_or_dryer: "new fan or dryer",
};

/** First of all on the job's page: what can hurt whoever goes there. */
export function alarmStrip({ record }: JobView): TemplateResult | typeof nothing {
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
export function leftOffStrip(view: JobView): TemplateResult | typeof nothing {
  const left = leftOffBefore(view);
  const { card } = view;
  if (left.length === 0) return nothing;
  return html`<div class="strip" data-kind="caution" data-left-off>${left.map((one) => html`<p><strong>${leftOffWords(one)}.</strong> It stands off and tagged until somebody says otherwise.</p>`)}
    ${card.state === "open" ? html`<p><a class="inline-link" href=${jobHref(card.job_id, "put-back")}>Note that it is back in service</a></p>` : nothing}</div>`;
}

export function callFacts({ card, record, facts }: JobView): TemplateResult {
  const { call } = record;
  const line = (name: string, words: string | null | undefined): TemplateResult | typeof nothing => (words ? html`<div><dt>${name}</dt><dd>${words}</dd></div>` : nothing);
  return html`<h2>The call</h2>
    <blockquote class="complaint">${card.complaint_words || "No words were noted."}</blockquote>
    <dl class="facts">
      ${line("Since", call?.since_words ?? (call?.no_hot_water_since ? dayWords(call.no_hot_water_since) : null))}
      ${line("At home", call?.home_words)}
      ${line("Getting in", facts.access_words)}
      ${line("Lately", call ? latelyWords(call) : null)}
      ${line("The light", call?.lights_words)}
      ${line("Resets tried", call?.resets_tried === null || call?.resets_tried === undefined ? null : count(call.resets_tried, "time"))}
      ${line("Asked, and no", call ? ASKED.filter(([id]) => call[id] === "no").map(([, words]) => words).join(", ") : null)}
      ${line("Never asked", call ? ASKED.filter(([id]) => call[id] === "not_asked").map(([, words]) => words).join(", ") : null)}
      <div><dt>Booked</dt><dd>${clockWords(card.booked_at)}</dd></div>
    </dl>`;
}

function latelyWords(call: Call): string {
  return [...call.lately.map((id) => LATELY[id] ?? id.replaceAll("_", " ")), call.lately_words].filter(Boolean).join("; ");
}
