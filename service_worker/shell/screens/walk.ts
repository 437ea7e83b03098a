/** The walk: gate, code, then the next check; a stop where the gate says stop. What to do when nothing is left to ask: walk_end.ts. */
import { html, nothing, type TemplateResult } from "lit-html";
import { savedStrip } from "../components/strips";
import { senseStrip } from "../components/sense_strip";
import type { JobView } from "../core_types";
import type { Check } from "../generated/trade";
import { jobHref } from "../router";
import { lateScreen } from "./later";
import { questionScreen } from "./question";
import { checkOf } from "./record_read";
import { stopScreen } from "./stop";
import type { Screen, Stage } from "./screen";

export function walkScreen(stage: Stage, view: JobView): Screen {
  const { advice } = view;
  if (view.card.state === "closed") return lateScreen(stage, (late) => late.endScreen(view, "closed"));
  if (view.card.state === "booked") return lateScreen(stage, (late) => late.notBegunScreen(view));
  if (!isHere(stage, view)) return arrivalScreen(stage, view);
  if (!advice) return engineScreen(stage, view);
  if (advice.gate.state === "stopped") return stopScreen(stage, view, advice.gate.next_check, advice.gate.stop_words ?? "");
  const asked = advice.gate.state === "open" ? advice.gate.next_check : (advice.next?.check ?? null);
  const check = asked && checkOf(view, asked);
  if (!check) return lateScreen(stage, (late) => late.endScreen(view, (advice.conclude.held?.length ?? 0) > 0 ? "held" : advice.conclude.ready && advice.conclude.cause !== null ? "ready" : "nothing_left", advice, stage));
  const screen = checkScreen(stage, view, check, {
    above: advice.gate.state === "open" ? gateWords(view, check) : `${advice.next?.why_words ?? ""}${atFirst(view)}`,
    after: () => undefined,
  });
  return { ...screen, body: html`${advice.gate.state === "open" ? nothing : afterCause(view)}${screen.body}` };
}

const SAID_TIMES = 2;

/** Some fifty checks left would look like an evening's work: that they are the most, not the rule, is said on the first ones. */
function atFirst({ procedure, record }: JobView): string {
  const looked = record.checks.filter((one) => !procedure?.gate.includes(one.check)).length;
  return looked < SAID_TIMES ? " At most the counts above are left: the walk ends once enough is known." : "";
}

// A working day: who comes later than this after arriving has been away (expert guess).
const VISIT_MS = 12 * 3_600_000;

/** Whoever comes on another day, or to help, has not looked at the gate's questions: it is asked anew. */
function isHere(stage: Stage, view: JobView): boolean {
  const arrivals = view.record.arrivals ?? []; // a record stored by an older shell has none
  const mine = arrivals.findLast((one) => one.by.person_id === stage.core.person.value?.id);
  const fresh = mine !== undefined && Date.now() - Date.parse(mine.by.at_wall) < VISIT_MS;
  return fresh || stage.stayed.value.has(view.card.job_id);
}

function arrivalScreen(stage: Stage, view: JobView): Screen {
  const job = view.card.job_id;
  return {
    title: "Back at this job", key: "arrival",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">Have you just come here?</h1>
      <p>What was found stays. What keeps you safe is asked again: gas, CO, the plug, the valve. Things change while nobody looks.</p>
      <div class="dock">
        <button class="button wide tall" type="button" data-arrive data-lamp ?disabled=${stage.busy.value} @click=${() => void stage.act(view, [{ kind: "arrived", body: {} }], "arrived")}>Just arrived: safety first</button>
        <button class="button wide quiet" type="button" data-stayed @click=${() => (stage.stayed.value = new Set([...stage.stayed.value, job]))}>I never left: go on</button>
      </div>`,
  };
}

/** The screen of any one check, whichever way it was reached. */
export function checkScreen(stage: Stage, view: JobView, check: Check, how: { above: TemplateResult | string; after(): void }): Screen {
  const missing = view.advice?.blocked.find((one) => one.check === check.id)?.missing_words ?? [];
  const asking = { ...how, missing };
  const screen = check.from_event === "code_read" ? lateScreen(stage, (late) => late.codeScreen(stage, view, check, asking))
    : questionScreen(stage, view, check, asking);
  const gate = view.procedure?.gate.includes(check.id);
  const strip = gate || !view.advice ? nothing : senseStrip(view.advice.left, check.sense);
  return { ...screen, body: html`${strip}${screen.body}` };
}

function gateWords(view: JobView, check: Check): TemplateResult {
  const gate = view.procedure?.gate ?? [];
  return html`<strong>Safety first</strong>, ${gate.indexOf(check.id) + 1} of ${gate.length}`;
}

/** Once the cause is named the way to the end stands above every further question. */
function afterCause(view: JobView): TemplateResult | typeof nothing {
  const step = nextStep(view);
  if (!step || view.record.causes.length === 0) return nothing;
  return html`<a class="button wide" href=${jobHref(view.card.job_id, step.screen)}>${step.words}</a>`;
}

function engineScreen(stage: Stage, view: JobView): Screen {
  return {
    title: "The walk", key: "engine",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">Looking for the next check…</h1>
      <p>Everything you saved is on this phone. You can log any check by hand meanwhile.</p>
      ${gateCards(view)}
      <a class="button wide" href=${jobHref(view.card.job_id, "checks")}>All checks</a>`,
  };
}

/** What ends a visit at its door waits for no rules: an answer just given may be one of these. */
function gateCards({ procedure }: JobView): TemplateResult | typeof nothing {
  const tiers = procedure?.gate_cards?.tiers ?? []; // a copy of an earlier day has none
  if (tiers.length === 0) return nothing;
  return html`<section class="strip" data-kind="caution" data-gate-cards><p><strong>Safety first.</strong> If there is any of this:</p>
    ${tiers.map(({ words, stop_words }) => html`<p><strong>${words}.</strong> ${stop_words}</p>`)}</section>`;
}

/** After the walk: cause → repair → hot run → close. */
export function nextStep(view: JobView): { screen: "cause" | "repair" | "proof" | "close"; title: string; words: string } | null {
  const { record } = view;
  if (record.closed) return null;
  if (record.causes.length === 0) return { screen: "cause", title: "Enough is known", words: "Name the cause" };
  if (record.repairs.length === 0) return { screen: "repair", title: "The cause is named", words: "What was done about it" };
  if (record.proofs.length === 0) return { screen: "proof", title: "The repair is noted", words: "Record the hot run" };
  return { screen: "close", title: "The hot run is recorded", words: "Close the job" };
}
