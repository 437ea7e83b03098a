/** Before going down, while there is signal: three lines on the job's page that say what stands and what does not. None of them blocks the way. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import { jobHref, type JobScreen } from "../router";
import { clockWords, count, dayWords, momentOf } from "../words";
import { leftWords, nowMs } from "./clock";
import { heaterOf, heatersOfKind, isInDoubt } from "./heater_read";
import { carriedNow } from "./instruments";
import { hasCoMeterOn, kitMissing } from "./kit_missing";
import { noRulesLine } from "./rule";
import type { Stage } from "./screen";
import { isUnsent, NOT_SENT, ownBelow } from "./visit_strips";

const DAY_MS = 86_400_000;

export function beforeGoingDown(stage: Stage, view: JobView): TemplateResult {
  const { record } = view;
  const below = ownBelow(stage, view);
  const carried = carriedNow(record);
  const missing = kitMissing(record, nowMs.value);
  return html`<h2>Before you go down</h2>
    <ul class="before">
      ${way(view, "below", "Due out", below ? `${clockWords(below.due_out_wall)}, ${leftWords(below.due_out_wall, nowMs.value)}${isUnsent(stage, below.by) ? `. ${NOT_SENT}` : ""}` : record.came_out.length > 0 ? "you are out" : "not agreed", below !== null || record.came_out.length > 0)}
      ${way(view, "kit", "Instruments", carried.length === 0 ? (hasCoMeterOn(record) ? "none by name; CO meter on" : "none noted") : missing.length === 0 ? `${carried.length} noted` : `${carried.length} noted; ${missing.length === 1 ? missing[0] : count(missing.length, "thing") + " missing"}`, missing.length === 0)}
      ${way(view, "heater", "The heater", heaterLine(view), view.facts.heaters.length > 0 && !isInDoubt(view))}
    </ul>
    ${licenceStrip(stage)}${noRulesLine(stage)}`;
}

function heaterLine(view: JobView): string {
  const heater = heaterOf(view);
  if (isInDoubt(view)) return `which of ${heatersOfKind(view).length} is it?`;
  if (heater) return [heater.maker_words, heater.model_words].filter(Boolean).join(" ") || "described";
  return view.record.photos.some((photo) => photo.about === "plate") ? "plate photographed" : "plate and sheet: not yet";
}

/** Over the way in, for whoever does not scroll. */
export function notYet(stage: Stage, view: JobView): TemplateResult | typeof nothing {
  const open = ([["below", "due out", ownBelow(stage, view) !== null], ["kit", "instruments", view.record.instruments.length > 0], ["heater", "which heater", !isInDoubt(view)]] as const).filter(([, , stands]) => !stands);
  return open.length > 0 ? html`<p class="not-yet">Not noted yet: ${open.map(([screen, words]) => html`<a class="inline-link" href=${jobHref(view.card.job_id, screen)}>${words}</a> `)}</p>` : nothing;
}

function way(view: JobView, screen: JobScreen, name: string, words: string, done: boolean): TemplateResult {
  return html`<li><a class="before-way" data-way=${screen} data-done=${String(done)} href=${jobHref(view.card.job_id, screen)}><strong>${name}</strong><span>${words}</span></a></li>`;
}

/** As the office has it; local law says what it is worth. */
function licenceStrip(stage: Stage): TemplateResult | typeof nothing {
  const until = stage.core.company.value?.person.licence_expires_on ?? null;
  if (until === null || momentOf(until).getTime() + DAY_MS > nowMs.value) return nothing;
  return html`<p class="strip" data-kind="caution" data-licence><strong>Your licence ran out on ${dayWords(until)}</strong>, as the office has it. Ring the office before work that needs one.</p>`;
}
