/** What this technician said before stands over the question that it bears on. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import type { Check } from "../generated/trade";
import { jobHref } from "../router";
import { clockWords } from "../words";
import { anewStrip } from "./anew_ways";
import { nowMs } from "./clock";
import { carriedNow } from "./instruments";
import { carriedDraft } from "./kit";
import { notReady } from "./kit_missing";
import type { Stage } from "./screen";

const READY = { carried: true, bump_tested: true, zeroed: true };

export function lookStrips(stage: Stage, view: JobView, check: Check): TemplateResult {
  return html`${meterStrip(stage, view, check)} ${anewStrip(stage, view, check)}`;
}

/** Every CO number rests on the meter: where its note says otherwise than the answer will, one of the two is not so. */
function meterStrip(stage: Stage, view: JobView, check: Check): TemplateResult | typeof nothing {
  if (check.id !== "co_meter") return nothing;
  const me = stage.core.person.value?.id ?? "";
  const meters = carriedNow(view.record).filter(({ instrument_kind, by }) => instrument_kind === "co_meter" && by.person_id === me);
  const [only] = meters;
  if (!only || meters.some((one) => notReady(one, nowMs.value).length === 0)) return nothing;
  const done = (): void => void stage.act(view, [carriedDraft(view, me, only, READY)], "CO meter: bump-tested today, zeroed outdoors");
  return html`<div class="strip stack" data-kind="caution" data-meter><p><strong>You noted at ${clockWords(only.by.at_wall)}:</strong> ${meters.flatMap((one) => notReady(one, nowMs.value)).join("; ")}.</p>
    ${meters.length === 1 && !(only.bump_tested && only.zeroed)
      ? html`<button class="button wide" type="button" data-meter-done ?disabled=${stage.busy.value} @click=${done}>Done now: bump-tested, zeroed outdoors</button>`
      : html`<a class="button wide" href=${jobHref(view.card.job_id, "kit")}>Look at your instruments</a>`}</div>`;
}
