/** What the caller said, in their words; and what the address says about getting in. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView, Record_ } from "../core_types";
import { clockWords, count, dayWords } from "../words";
import { ASKED } from "./call_notes";

type Call = NonNullable<Record_["call"]>;

const LATELY: { [id: string]: string } = {
  moved: "moved in", serviced: "serviced", renovated: "renovated", new_heater: "new heater", new_fan_or_dryer: "new fan or dryer",
};

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
