/** A stop that nobody at the office knows of yet, and the number to ring from outside. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import { liftedLine } from "./lifted";
import type { Stage } from "./screen";
import { isUnsent } from "./visit_strips";

/** The queue's line alone would read as if somebody knew. Once the office was told by voice, or the strip leads there, it goes. */
export function stopTell(stage: Stage, view: JobView, check: string | null): TemplateResult {
  return html`${check ? liftedLine(stage, view, check) : nothing}${notSent(stage, view, check)}`;
}

function notSent(stage: Stage, { record, danger }: JobView, check: string | null): TemplateResult | typeof nothing {
  const by = danger.find((one) => one.check === check)?.by ?? null;
  if (record.office_not_told || record.office_told.some((told) => told.by.lamport > (by?.lamport ?? 0))) return nothing;
  const unsent = by !== null && isUnsent(stage, by);
  const phone = stage.core.company.value?.settings.office_phone ?? null;
  return html`<p class="stop-tell" data-stop-tell><span>${unsent ? html`<strong data-unsent>Not sent: the office does not know yet.</strong> Ring it` : "Ring the office"} from outside${phone ? ":" : ", with the number that you know."}</span>
    ${phone ? html`<a class="visit-way number-inline" href=${`tel:${phone.replace(/[^\d+]/g, "")}`}>${phone}</a>` : nothing}</p>`;
}
