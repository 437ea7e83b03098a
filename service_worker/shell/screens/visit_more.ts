/** What else stands over every screen of a job while it lasts: the office not told, what stands off, due out, clocks that run. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView, Timer } from "../core_types";
import type { Unasked } from "../generated/trade";
import { jobHref } from "../router";
import { clockWords } from "../words";
import { isOver, leftWords, nowMs } from "./clock";
import { runsStrip, runsUnshown } from "./found_running";
import { foundStrips } from "./found_strip";
import { handedStrip, liftedStrips } from "./lifted";
import type { Stage } from "./screen";
import { standsOffWords } from "./stands_off";
import { takenBackStrips } from "./taken_back";
import { comeOut, isUnsent, NOT_SENT, ownBelow } from "./visit_strips";

/** What may hurt first, a stop before anything else: where room is short only the first line of all is in sight. `found`: what this visit found. */
export function stripsInOrder(stage: Stage, view: JobView, found: TemplateResult[]): TemplateResult[] {
  const timers = stage.core.own.value.timers.filter((timer) => timer.job_id === view.card.job_id);
  const below = stage.route.name === "close" ? null : ownBelow(stage, view);
  const unasked = view.card.state === "closed" ? [] : (view.advice?.unasked ?? []); // advice stored by an older shell has none
  const off = SAY_OFF_THEMSELVES.has(stage.route.name) ? "" : standsOffWords(view, found.length > 0);
  const own = liftedStrips(stage, view, found);
  const elsewhere = foundStrips(stage, view);
  const theirStop = !view.danger[0]?.stops && view.elsewhere.some((one) => one.stop_words !== null && !one.other_heater);
  const runs = runsStrip(view, stage.route.name, runsUnshown(view));
  return [
    ...(view.danger[0]?.stops || theirStop ? [] : runs),
    ...(theirStop ? [...elsewhere, ...own] : [...own, ...elsewhere]),
    ...(view.danger[0]?.stops || theirStop ? runs : []),
    ...againStrips(view),
    ...handedStrip(view),
    ...takenBackStrips(stage.route, view),
    ...unasked.map((one) => mentioned(stage, view, one)),
    ...(view.record.office_not_told ? [notTold(stage, view)] : []),
    ...(off && runs.length === 0 ? [standsOff(stage, view, off, view.danger.length + view.elsewhere.length === 0 && view.card.state === "open")] : []),
    ...(below ? [dueOut(stage, view, below)] : []),
    ...overdueStrips(stage, view),
    ...timers.map((timer) => running(stage, timer)),
  ];
}

/** What this visit found and only looked at again stands in sight, also once it is closed. */
function againStrips({ advice, record }: JobView): TemplateResult[] {
  const found = record.heater_off ? [] : (advice?.looked_again ?? []); // advice stored by an older shell has none
  return found.map((one) => html`<p class="visit-strip" data-kind="bad" data-looked-again><span><strong>${one.was_words} on this visit.</strong> Now: ${one.now_words}; ${one.since_words}.</span></p>`);
}

function notTold(stage: Stage, view: JobView): TemplateResult {
  const here = stage.route.name === "office-told";
  return html`<p class="visit-strip" data-kind="bad" data-not-told><strong>Office not told</strong>
    ${here ? nothing : html`<a class="visit-way" href=${jobHref(view.card.job_id, "office-told")}>Ring, then say so</a>`}</p>`;
}

/** These say it at length. */
const SAY_OFF_THEMSELVES: ReadonlySet<string> = new Set(["home", "put-back", "close", "left-off", "office-told"]);

/** Nobody works at it, or closes it as running, without knowing that it stands off. Putting it back is not offered while something unsafe stands. */
function standsOff({ route }: Stage, { card }: JobView, words: string, offered: boolean): TemplateResult {
  return html`<p class="visit-strip" data-kind="off" data-stands-off><span class="off-words">${words}</span>
    ${offered ? html`<a class="visit-way" href=${jobHref(card.job_id, "put-back", route.name === "check" ? "walk" : route.name)}>Put back?</a>` : nothing}</p>`;
}

/** A reminder: it ticks nothing, and goes when the question is answered. */
function mentioned(stage: Stage, view: JobView, { question, check, words }: Unasked): TemplateResult {
  const { route } = stage;
  const here = route.name === "check" ? route.arg === check : route.name === "walk" && view.advice?.gate.next_check === check;
  return html`<p class="visit-strip" data-kind="bad" data-unasked=${question}><strong>${words}</strong>
    ${check === null || here || view.card.state !== "open" ? nothing : html`<a class="visit-way" href=${jobHref(view.card.job_id, "check", check)}>Ask it now</a>`}</p>`;
}

function dueOut(stage: Stage, view: JobView, { due_out_wall: wall, by }: NonNullable<JobView["record"]["below"]>): TemplateResult {
  const over = isOver(wall, nowMs.value);
  return html`<p class="visit-strip" data-kind=${over ? "bad" : nothing} data-due-out>
    <span>Due out ${clockWords(wall)} · <span class="visit-left">${leftWords(wall, nowMs.value)}</span>${isUnsent(stage, by) ? html` <strong data-unsent>${NOT_SENT}</strong>` : nothing}</span>
    <button class="visit-way" type="button" data-came-out ?disabled=${stage.busy.value} @click=${() => comeOut(stage, view)}>I am out</button></p>`;
}

/** Whoever went on to the next address without a word is looked for at the last one. */
export function overdueStrips({ core }: Pick<Stage, "core">, view: Pick<JobView, "card">): TemplateResult[] {
  const over = core.jobs.value.filter(({ job_id, due_out_wall: wall, handed_to }) => job_id !== view.card.job_id && !handed_to && wall && isOver(wall, nowMs.value));
  return over.map(({ job_id, street, due_out_wall: wall }) => html`<p class="visit-strip" data-kind="bad" data-overdue-elsewhere><span><strong>Out of ${street}?</strong> ${leftWords(wall ?? "", nowMs.value)}: the office rings for you there.</span>
    <a class="visit-way" href=${jobHref(job_id)}>Say so</a></p>`);
}

function running(stage: Stage, timer: Timer): TemplateResult {
  const done = (): void => void stage.core.keepOwn({ timers: stage.core.own.value.timers.filter((one) => one !== timer) });
  return html`<p class="visit-strip" data-kind=${isOver(timer.due_wall, nowMs.value) ? "over" : nothing} data-timer>
    <span>${timer.words} · <span class="visit-left">${leftWords(timer.due_wall, nowMs.value)}</span></span>
    <button class="visit-way" type="button" aria-label=${`Put away: ${timer.words}`} @click=${done}>Put away</button></p>`;
}
