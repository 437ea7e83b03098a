/** A hot run that was noted sooner than its minutes can have passed: said, and nothing is decided by a clock. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView, Record_ } from "../core_types";
import { jobHref } from "../router";

type Proof = Record_["proofs"][number];

const SINCE = { repair: "the repair", run: "the run before it", arrival: "the visit began" };

/** As the rules say it (`too_soon_words`): "Noted 2 min after the repair: 10 minutes cannot have passed." A record stored by an older shell knows nothing of it. */
export function tooSoonWords({ too_soon, minutes }: Proof): string {
  if (!too_soon) return "";
  const passed = Math.floor(too_soon.minutes);
  return `Noted ${passed < 1 ? "less than a minute" : `${passed} min`} after ${SINCE[too_soon.since]}: ${Math.floor(minutes)} minutes cannot have passed.`;
}

/** On the way out, until somebody has said a word about it. */
export function tooSoonStrip({ card, record }: JobView): TemplateResult | typeof nothing {
  const last = record.proofs.at(-1);
  const words = last ? tooSoonWords(last) : "";
  if (!last || !words) return nothing;
  const said = last.words !== null || record.notes.some(({ by }) => by.lamport > last.by.lamport);
  return html`<div class="strip stack" data-kind="caution" data-too-soon><p><strong>${words}</strong>${said ? nothing : " Run it the whole time, or say why."}</p>
    ${said ? nothing : html`<div class="chips"><a class="chip" href=${jobHref(card.job_id, "proof")}>Run it again</a><a class="chip" href=${jobHref(card.job_id, "note")}>Say why</a></div>`}</div>`;
}
