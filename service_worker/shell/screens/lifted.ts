/** What this phone's person found unsafe and somebody else answered otherwise: it stands until they look again, or say that they have read it. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import type { Lifted, Mark } from "../generated/trade";
import { jobHref } from "../router";
import { shortClockWords } from "../words";
import { currentAnswers, outcomeOf } from "./record_read";
import type { Stage } from "./screen";

/** Somebody looked; where one has only come, there is nothing to read yet. */
type Looked = Lifted & { now_by: Mark };

function lookedAt({ advice }: JobView): Looked[] {
  return (advice?.lifted ?? []).filter((one): one is Looked => one.now_by !== null); // advice stored by an older shell has none
}

/** "Ugo Brandt answered “No smell” at 06:37. You answered “Smell of gas” at 06:36." */
export function liftedWords({ people }: JobView, { found_words, found_by, now_words, now_by, repaired }: Looked): string {
  return `${people[now_by.person_id] ?? "Somebody else"} answered “${now_words}” at ${shortClockWords(now_by.at_wall)}${repaired ? ", after a repair" : ""}. You answered “${found_words}” at ${shortClockWords(found_by.at_wall)}.`;
}

/** In the place of the strip of what it lifts; the screen that stops says it itself. */
export function liftedStrips(stage: Stage, view: JobView, own: TemplateResult[]): TemplateResult[] {
  const { route } = stage;
  const found = lookedAt(view);
  const [first] = found;
  if (!first || view.card.state !== "open" || (route.name === "walk" && view.advice?.gate.state === "stopped")) return own;
  if (route.name === "check" && route.arg === first.check) return own; // said over its answers
  const more = view.danger.filter(({ check }) => !found.some((one) => one.check === check));
  const href = first.stop_words ? jobHref(view.card.job_id, "walk") : jobHref(view.card.job_id, "check", first.check);
  return [html`<p class="visit-strip" data-kind="bad" data-lifted role="status"><span><strong>${first.stop_words ? "Stop" : "Unsafe"}. ${first.title}: ${liftedWords(view, first)}</strong>${found.length > 1 ? ` And ${found.length - 1} more.` : ""}</span>
    ${first.stop_words && route.name === "home" ? nothing : html`<a class="visit-way" href=${href}>${first.stop_words ? "What to do now" : "Read it"}</a>`}</p>`, ...(more.length > 0 ? own : [])];
}

/** Over the answers: whose word it is now, and the way on for whoever does not look themselves. */
export function liftedBox(stage: Stage, view: JobView, check: string): TemplateResult | typeof nothing {
  const one = lookedAt(view).find((line) => line.check === check);
  return one ? html`<div class="strip" data-kind="bad" data-lifted-box>${liftedTold(view, one)}${readButton(stage, view, one)}</div>` : othersStop(stage, view, check);
}

/** The same on the stop, where both ways stand at the foot. */
export function liftedLine(stage: Stage, view: JobView, check: string): TemplateResult | typeof nothing {
  const one = lookedAt(view).find((line) => line.check === check);
  return one ? html`<div data-lifted-box>${liftedTold(view, one)}</div>` : othersStop(stage, view, check);
}

export function liftedWays(stage: Stage, view: JobView, check: string): TemplateResult | null {
  const one = lookedAt(view).find((line) => line.check === check);
  return one ? html`<div class="pair">${readButton(stage, view, one)}<a class="button wide quiet" data-look-again href=${jobHref(view.card.job_id, "check", check)}>Look again myself</a></div>` : null;
}

function liftedTold(view: JobView, one: Looked): TemplateResult {
  return html`<p class="lifted-words"><strong>${liftedWords(view, one)}</strong>${one.now_own_words ? ` “${one.now_own_words}”` : ""}</p>`;
}

/** It names the answer: the record then says that this person had it before them. */
function readButton(stage: Stage, view: JobView, one: Looked): TemplateResult {
  const words = `Read: ${liftedWords(view, one).replace("You answered", "My own answer:")}`;
  const read = (): void => void stage.act(view, [{ kind: "note", body: { words }, replaces: [one.now_by.event_id] }], `Read: ${one.title}, ${one.now_words}`);
  return html`<button class="button wide quiet" type="button" data-read ?disabled=${stage.busy.value} @click=${read}>I have read it: go on</button>`;
}

/** Theirs stops this phone too, after an own look that says otherwise: one of two is enough, until they look again or one comes anew. */
function othersStop(stage: Stage, view: JobView, check: string): TemplateResult | typeof nothing {
  const me = stage.core.person.value?.id;
  const answers = currentAnswers(view.record, check);
  const isStop = (outcome: string | null): boolean => (outcomeOf(view.procedure, check, outcome)?.stop_words ?? null) !== null;
  const theirs = answers.find((one) => one.by.person_id !== me && isStop(one.outcome));
  const mine = answers.find((one) => one.by.person_id === me && one.outcome !== null && !isStop(one.outcome));
  if (!theirs || !mine || view.advice?.gate.state !== "stopped" || view.advice.gate.next_check !== check) return nothing;
  const come = (): void => void stage.act(view, [{ kind: "arrived", body: {} }], "arrived");
  return html`<div class="strip" data-kind="bad" data-others-stop><p><strong>${view.people[theirs.by.person_id] ?? "Somebody else"} answered otherwise at ${shortClockWords(theirs.by.at_wall)}.</strong> One of you is enough: it stands until they look again. Were you out since? Then safety is asked from the start.</p>
    <button class="button wide quiet" type="button" data-arrive ?disabled=${stage.busy.value} @click=${come}>I came back after that: safety first</button></div>`;
}

/** Who had the job before sees on every screen whose it is now. */
export function handedStrip({ card }: JobView): TemplateResult[] {
  return card.handed_to && card.state === "open" ? [html`<p class="visit-strip" data-handed-to role="status"><strong>Handed over to ${card.handed_to}.</strong></p>`] : [];
}
