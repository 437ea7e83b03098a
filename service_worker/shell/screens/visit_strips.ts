/** What stands over every screen of a job while it lasts: the office not told, what is unsafe, due out, clocks that run. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView, Timer } from "../core_types";
import type { Unasked } from "../generated/trade";
import { jobHref } from "../router";
import { clockWords } from "../words";
import { isOver, leftWords, nowMs } from "./clock";
import type { Stage } from "./screen";
import { standsOffWords } from "./stands_off";
import { viewOf } from "./view_of";

export const NOT_SENT = "Not sent: the office does not know.";

export function visitStrips(stage: Stage): TemplateResult | typeof nothing {
  const view = viewOf(stage);
  if (!view) return nothing;
  const timers = stage.core.own.value.timers.filter((timer) => timer.job_id === view.card.job_id);
  const below = ownBelow(stage, view);
  const unasked = view.card.state === "closed" ? [] : (view.advice?.unasked ?? []); // advice stored by an older shell has none
  const unsafe = isStopScreen(stage, view) || view.record.heater_off || view.card.state !== "open" ? [] : (view.advice?.unsafe ?? []);
  const off = SAY_OFF_THEMSELVES.has(stage.route.name) ? "" : standsOffWords(view, unsafe.length > 0);
  if (!view.record.office_not_told && !below && timers.length + unasked.length + unsafe.length === 0 && !off) return nothing;
  return html`<aside class="visit-strips" aria-label="This visit">
    ${view.record.office_not_told ? notTold(stage, view) : nothing}
    ${unsafe.length > 0 ? unsafeNow(stage, view, unsafe) : nothing}
    ${off ? standsOff(stage, view, off, unsafe.length === 0 && view.card.state === "open") : nothing}
    ${below && stage.route.name !== "close" ? dueOut(stage, view, below) : nothing}
    ${unasked.map((one) => mentioned(stage, view, one))}
    ${timers.map((timer) => running(stage, timer))}
  </aside>`;
}

/** Until when this phone's own person is below: another one's time is theirs to end. */
export function ownBelow(stage: Stage, { record }: JobView): JobView["record"]["below"] {
  return record.below_now?.find((one) => one.by.person_id === stage.core.person.value?.id) ?? null;
}

function notTold(stage: Stage, view: JobView): TemplateResult {
  const here = stage.route.name === "office-told";
  return html`<p class="visit-strip" data-kind="bad" data-not-told><strong>Office not told</strong>
    ${here ? nothing : html`<a class="visit-way" href=${jobHref(view.card.job_id, "office-told")}>Ring, then say so</a>`}</p>`;
}

/** Said from the moment it is found, not only at the close. The stop screen says more, and says it alone. */
function unsafeNow(stage: Stage, view: JobView, [first, ...rest]: readonly string[]): TemplateResult {
  const here = stage.route.name === "left-off";
  return html`<p class="visit-strip" data-kind="bad" data-unsafe role="status"><span><strong>Unsafe. ${first}</strong>${rest.length > 0 ? ` and ${rest.length} more` : ""}.<span class="can-fold"> The burner stays off until it is put right.</span></span>
    ${here ? nothing : html`<a class="visit-way" href=${jobHref(view.card.job_id, "left-off")}>Leave it off</a>`}</p>`;
}

/** These say it at length. */
const SAY_OFF_THEMSELVES: ReadonlySet<string> = new Set(["home", "put-back", "close", "left-off", "office-told"]);

/** Nobody works at it, or closes it as running, without knowing that it stands off. Putting it back is not offered while something unsafe stands. */
function standsOff({ route }: Stage, { card }: JobView, words: string, offered: boolean): TemplateResult {
  return html`<p class="visit-strip" data-kind="off" data-stands-off><span class="off-words">${words}</span>
    ${offered ? html`<a class="visit-way" href=${jobHref(card.job_id, "put-back", route.name === "check" ? "walk" : route.name)}>Put back?</a>` : nothing}</p>`;
}

function isStopScreen({ route }: Stage, { advice }: JobView): boolean {
  return route.name === "walk" && advice?.gate.state === "stopped";
}

/** A reminder: it ticks nothing, and goes when the question is answered. */
function mentioned(stage: Stage, view: JobView, { question, check, words }: Unasked): TemplateResult {
  const { route } = stage;
  const here = route.name === "check" ? route.arg === check : route.name === "walk" && view.advice?.gate.next_check === check;
  return html`<p class="visit-strip" data-kind="bad" data-unasked=${question}><strong>${words}</strong>
    ${check === null || here || view.card.state !== "open" ? nothing : html`<a class="visit-way" href=${jobHref(view.card.job_id, "check", check)}>Ask it now</a>`}</p>`;
}

/** Saved here and not sent: whoever should watch the time does not know it. What waits goes out in its order. */
export function isUnsent(stage: Stage, { at_wall }: { at_wall: string }): boolean {
  const since = stage.core.queue.value.waiting_since;
  return since !== null && Date.parse(since) <= Date.parse(at_wall);
}

function dueOut(stage: Stage, view: JobView, { due_out_wall: wall, by }: NonNullable<JobView["record"]["below"]>): TemplateResult {
  const over = isOver(wall, nowMs.value);
  return html`<p class="visit-strip" data-kind=${over ? "bad" : nothing} data-due-out>
    <span>Due out ${clockWords(wall)} · <span class="visit-left">${leftWords(wall, nowMs.value)}</span>${isUnsent(stage, by) ? html` <strong data-unsent>${NOT_SENT}</strong>` : nothing}</span>
    <button class="visit-way" type="button" data-came-out ?disabled=${stage.busy.value} @click=${() => comeOut(stage, view)}>I am out</button></p>`;
}

export function comeOut(stage: Stage, view: JobView): void {
  void stage.act(view, [{ kind: "came_out", body: {} }], "I am out");
}

function running(stage: Stage, timer: Timer): TemplateResult {
  const done = (): void => void stage.core.keepOwn({ timers: stage.core.own.value.timers.filter((one) => one !== timer) });
  return html`<p class="visit-strip" data-kind=${isOver(timer.due_wall, nowMs.value) ? "over" : nothing} data-timer>
    <span>${timer.words} · <span class="visit-left">${leftWords(timer.due_wall, nowMs.value)}</span></span>
    <button class="visit-way" type="button" aria-label=${`Put away: ${timer.words}`} @click=${done}>Put away</button></p>`;
}
