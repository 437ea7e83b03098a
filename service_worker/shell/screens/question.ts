/** One check on one screen: asked aloud, shown, measured, answered with the thumb. Gate, walk and drawing all use it. */
import { html, nothing, type TemplateResult } from "lit-html";
import { answerButtons } from "../components/answers";
import { cautionStrip, savedStrip } from "../components/strips";
import { sketchFigure } from "../sketches/figure";
import type { Draft, JobView } from "../core_types";
import type { Check } from "../generated/trade";
import { jobHref } from "../router";
import { clockWords, COULD_NOT, couldNotWords } from "../words";
import { answerDraft } from "./drafts";
import { lateBit, worded } from "./later";
import { missingList } from "./leads";
import { readingRows, type Numbers } from "./readings";
import { answerWords, currentAnswers } from "./record_read";
import { noRulesLine } from "./rule";
import type { Screen, Stage } from "./screen";
import { timerButton } from "./timers";

export interface Asking {
  /** above the question: "Safety 2 of 4", or why this comes next; nothing where it was asked for by name */
  above: TemplateResult | string;
  /** what is still missing before this may be done; empty when nothing is */
  missing: readonly string[];
  after(): void;
}

export function questionScreen(stage: Stage, view: JobView, check: Check, asking: Asking): Screen {
  const numbers = readingRows(stage, view, check);
  const key = `check ${check.id} ${numbers.pad?.words ?? ""}`;
  if (stage.local(`could-not ${check.id}`, false).value) return reasonsScreen(stage, view, check, asking, numbers.drafts());
  if (numbers.pad) return { title: check.title, key, body: html`<h1 class="out-of-sight" tabindex="-1">${numbers.pad.words}</h1>${check.title === numbers.pad.words ? nothing : html`<p class="above pad-over">${check.title}</p>`}${numbers.pad.body}` };
  const seen = new Set<string>();
  return {
    title: check.title,
    key,
    body: html`
      ${savedStrip(stage, view)}
      <article class="question" data-check=${check.id} ?data-said=${numbers.said !== null && !numbers.saidUnsafe}>
        ${asking.above ? html`<p class="above">${asking.above}</p>` : nothing}
        <h1 class="question-words" tabindex="-1">${worded(check.question, seen)}</h1>
        ${recordedStrip(view, check)} ${gateWaits(view, check)}
        ${unsafeNow(numbers)}
        ${numbers.saidUnsafe && check.rule === "co_outcome" ? nothing : cautionStrip(check.caution, seen)}
        ${asking.missing.length > 0 ? blockedStrip(view, check, asking.missing) : nothing}
        ${check.wait_minutes && asking.missing.length === 0 ? timerButton(stage, view, check.title, check.wait_minutes) : nothing}
        ${howTo(check, seen)}
        <p class="normal"><strong>Normal:</strong> ${worded(check.normal, seen)}</p>
        <p class="why"><strong>Why:</strong> ${worded(check.why, seen)}</p>
        ${check.photo_words ? lateBit((late) => late.photoButton(stage, view, "check", { check: check.id, words: check.photo_words }), nothing) : nothing}
        ${check.rule === "co_outcome" && !numbers.said ? noRulesLine(stage) : nothing}
        ${asking.missing.length > 0 ? nothing : numbers.rows}
      </article>
      ${asking.missing.length > 0 ? nothing : dock(stage, view, check, asking, numbers)}
    `,
  };
}

/** What the figures call unsafe stands where cautions stand: no milder word of how to go on is read before it. */
function unsafeNow({ said, saidUnsafe }: Numbers): TemplateResult | typeof nothing {
  if (!said || !saidUnsafe) return nothing;
  return html`<div class="strip" data-kind="bad" role="alert" data-out-now><p><strong>${said[0]}</strong> ${said.slice(1).join(" ")}</p></div>`;
}

function dock(stage: Stage, view: JobView, check: Check, asking: Asking, numbers: Numbers): TemplateResult {
  const me = stage.core.person.value?.id ?? "";
  const answer = (outcome: string): void => {
    if (numbers.pending) return;
    const words = `${check.title}: ${answerWords(view.procedure, check.id, { outcome, could_not: null })}`;
    void save(stage, view, asking, [...numbers.drafts(), answerDraft(view, me, check.id, { outcome }, numbers.answerMore())], words);
  };
  const answers = check.outcomes.map(({ id, words, verdict }) => ({ id, words, verdict, barred: numbers.barred(id) })); // those that the figures leave come first
  return html`<section class="dock" aria-label="Answers" data-stick>
    ${numbers.said ? html`<p class="said">${numbers.saidUnsafe ? "Do that first, then answer." : html`By your figures: <strong>${numbers.said[0]}</strong> ${numbers.said.slice(1).join(" ")} You decide.`}${answers.some((one) => one.barred) ? " Mistyped? Tap the figure." : ""}</p>` : nothing}
    ${numbers.wanted
      ? html`<button class="button wide tall" type="button" data-lamp data-wanted @click=${() => numbers.wanted?.open()}>${numbers.wanted.words}</button>`
      : answerButtons([...answers.filter((one) => !one.barred), ...answers.filter((one) => one.barred)], answer, stage.busy.value || numbers.pending)}
    ${couldNotButton(stage, check)}
  </section>`;
}

/** Reasons that put no question of the gate off. */
const NEVER_OF_THE_GATE = new Set(["not_fitted", "not_allowed"]);

/** "Could not" is an answer with a reason, and never the same as normal. */
export function reasonsScreen(stage: Stage, view: JobView, check: Check, asking: Asking, figures: readonly Draft[]): Screen {
  const me = stage.core.person.value?.id ?? "";
  const couldNot = (reason: string): void => {
    const drafts = [...figures, answerDraft(view, me, check.id, { could_not: reason })];
    void save(stage, view, asking, drafts, `${check.title}: ${couldNotWords(reason).toLowerCase()}`);
  };
  return {
    title: `Could not check: ${check.title}`,
    key: `could-not ${check.id}`,
    body: html`<p class="above">${check.question}</p>
      <h1 tabindex="-1" data-check=${check.id}>Could not check it. Why?</h1>
      <section class="dock" aria-label="Reasons">
        ${answerButtons(COULD_NOT.filter(([id]) => !NEVER_OF_THE_GATE.has(id) || !view.procedure?.gate.includes(check.id)).map(([id, words]) => ({ id, words })), couldNot, stage.busy.value)}
        <button class="button wide quiet" type="button" @click=${() => (stage.local(`could-not ${check.id}`, false).value = false)}>Back to the answers</button>
      </section>`,
  };
}

async function save(stage: Stage, view: JobView, asking: Asking, drafts: Draft[], words: string): Promise<void> {
  if (await stage.act(view, drafts, words)) asking.after();
}

export function howTo(check: Check, seen: Set<string>): TemplateResult {
  return html`<div class="looking">${sketchFigure(check.sketch, check.title)}<ol class="how">${check.how.map((line) => html`<li>${worded(line, seen)}</li>`)}</ol></div>`;
}

/** "Could not", apart from the answers and quieter. */
export function couldNotButton(stage: Stage, check: Check): TemplateResult {
  return html`<button class="button wide quiet" type="button" data-could-not @click=${() => (stage.local(`could-not ${check.id}`, false).value = true)}>Could not check</button>`;
}

/** What already stands; two people's words that differ stand side by side. */
function recordedStrip(view: JobView, check: Check): TemplateResult | typeof nothing {
  const answers = currentAnswers(view.record, check.id);
  if (answers.length === 0) return nothing;
  return html`<div class="strip recorded">
    ${answers.map((answer) => html`<p><strong>${answerWords(view.procedure, check.id, answer)}</strong>
      <span class="soft">${view.people[answer.by.person_id] ?? "someone else"}, ${clockWords(answer.by.at_wall)}</span></p>`)}
    ${(view.advice?.by_figure ?? []).filter((one) => one.check === check.id).map((one) => html`<p data-by-figure><strong>${one.words}</strong></p>`)}
    <p class="soft">${answers.length > 1 ? "Two people saw this differently. Both stay. " : ""}A new answer takes the place of your own.</p>
  </div>`;
}

/** A gate check that could not be done is never skipped. */
function gateWaits(view: JobView, check: Check): TemplateResult | typeof nothing {
  const job = view.card.job_id;
  const ofGate = view.procedure?.gate.includes(check.id);
  const gate = view.advice?.gate;
  if (gate?.state === "stopped" && gate.next_check !== check.id) {
    return html`<div class="strip" data-kind="bad" data-stop-stands><p><strong>Stop stands.</strong> <a class="inline-link" href=${jobHref(job, "walk")}>What to do now</a></p></div>`;
  }
  if (!ofGate && gate?.state === "open") {
    return html`<div class="strip" data-kind="caution" data-gate-open><p><strong>Safety first is not done.</strong> <a class="inline-link" href=${jobHref(job, "walk")}>Answer it before this</a></p></div>`;
  }
  const waits = ofGate && currentAnswers(view.record, check.id).some((answer) => answer.could_not !== null);
  if (!waits) return nothing;
  return html`<div class="strip"><p><strong>The walk waits for this.</strong> It does not go on before this check is done. If that cannot be today:</p>
    <p><a class="inline-link" href=${jobHref(job, "left-off")}>Left off and tagged</a> <a class="inline-link" href=${jobHref(job, "close")}>Close the job</a></p></div>`;
}

/** Before how it is done: nobody begins on what must wait. */
function blockedStrip(view: JobView, check: Check, missing: readonly string[]): TemplateResult {
  return html`<section class="strip" data-kind="caution" data-blocked>
    <p><strong>Not yet.</strong> First this has to stand in the record:</p>
    ${missingList(view, missing, ["check", check.id])}
  </section>`;
}
