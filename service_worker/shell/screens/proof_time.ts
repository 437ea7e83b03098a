/** A hot run that was noted sooner than its minutes can have passed: said, and nothing is decided by a clock. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView, Record_ } from "../core_types";
import { jobHref } from "../router";
import type { Signal } from "@preact/signals-core";
import { wordsField } from "./note";

type Proof = Record_["proofs"][number];

const SINCE = { repair: "the repair", run: "the run before it", arrival: "the visit began", left_off: "the heater was left off", unsafe: "something unsafe was found" };

/** As the rules say it (`too_soon_words`): "Noted 2 min after the repair: 10 minutes cannot have passed." A record stored by an older shell knows nothing of it. */
export function tooSoonWords({ too_soon, minutes }: Proof): string {
  if (!too_soon) return "";
  const passed = Math.floor(too_soon.minutes);
  return `Noted ${passed < 1 ? "less than a minute" : `${passed} min`} after ${SINCE[too_soon.since]}: ${Math.floor(minutes)} minutes cannot have passed.`;
}

/** As the rules have it: what the words of a close begin with that say why such a run counts. */
export const WHY_IT_COUNTS = "Why the run counts: ";

/** On the way out; `asks`: to close as proven, the rules ask for this. */
export function tooSoonStrip({ card, record }: JobView, asks: string | null, why: Signal<string>): TemplateResult | typeof nothing {
  const last = record.proofs.at(-1);
  const words = last ? tooSoonWords(last) : "";
  if (!last || !words) return nothing;
  return html`<div class="strip stack" data-kind="caution" data-too-soon><p><strong>${words}</strong> Run it the whole time, or say why it still counts.</p>
    <div class="chips"><a class="chip" href=${jobHref(card.job_id, "proof")}>Run it again</a></div>
    ${asks ? wordsField("why-it-counts", "Why the run still counts", why) : nothing}</div>`;
}
