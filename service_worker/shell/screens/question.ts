/** One check on one screen: asked aloud, shown, measured, answered with the thumb. Gate, walk and drawing all use it. */
import { html, nothing, type TemplateResult } from "lit-html";
import { answerButtons } from "../components/answers";
import { answersFirst } from "../components/dock";
import { cautionStrip, savedStrip } from "../components/strips";
import { sketchFigure } from "../sketches/figure";
import type { Draft, JobView } from "../core_types";
import type { Check } from "../generated/trade";
import { jobHref } from "../router";
import { unsafeWord } from "./answered_anew";
import { answerDraft } from "./drafts";
import { lateBit, lateScreen, worded } from "./later";
import { readingRows, type Numbers } from "./readings";
import { answerWords, currentAnswers } from "./record_read";
import { noRulesLine } from "./rule";
import type { Screen, Stage } from "./screen";
import { stillWaits, timerButton } from "./timers";

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
  if (stage.local(`could-not ${check.id}`, false).value) return lateScreen(stage, (late) => late.reasonsScreen(stage, view, check, asking, numbers.drafts()));
  if (numbers.pad) return { title: check.title, key, back: numbers.pad.back, body: html`<h1 class="out-of-sight" tabindex="-1">${numbers.pad.words}</h1>${check.title === numbers.pad.words ? nothing : html`<p class="above pad-over">${check.title}</p>`}${numbers.pad.body}` };
  const seen = new Set<string>();
  const waits = asking.missing.length > 0;
  const typed = numbers.said !== null && !numbers.saidUnsafe; // what an ordinary figure says stands with the answers
  return {
    title: check.title,
    key,
    body: html`
      ${numbers.typed.length > 0 ? nothing : savedStrip(stage, view)}
      ${askedInOrder(check, asking, seen, {
        strips: () => html`${lateBit((late) => late.recordedStrip(view, check, numbers.fresh, unsafeWord(view, stage.core.person.value?.id ?? "", check.id) !== null), nothing)} ${gateWaits(view, check)}
          ${waits || numbers.saidUnsafe ? nothing : lateBit((late) => late.lookStrips(stage, view, check), nothing)}
          ${unsafeNow(numbers)}
          ${numbers.saidUnsafe && check.rule === "co_outcome" ? nothing : cautionStrip(check.caution, seen)}
          ${waits ? blockedStrip(view, check, asking.missing) : nothing}
          ${check.wait_minutes && !waits ? timerButton(stage, view, check.title, check.wait_minutes) : nothing}`,
        rest: html`${check.photo_words ? lateBit((late) => late.photoButton(stage, view, "check", { check: check.id, words: check.photo_words }), nothing) : nothing} ${typed && !waits ? numbers.rows : nothing}`,
        answers: html`${check.rule === "co_outcome" && !numbers.said ? noRulesLine(stage) : nothing}
          ${waits || typed ? nothing : numbers.rows}
          ${waits ? nothing : dock(stage, view, check, asking, numbers)}`,
        acted: numbers.saidUnsafe,
      })}
    `,
  };
}

/** The parts of a question on the page in the order in which they are seen. `acted`: the first step is done already. */
export function askedInOrder(check: Check, { above }: Asking, seen: Set<string>, parts: { strips(): TemplateResult; rest: TemplateResult; answers: TemplateResult; acted?: boolean }): TemplateResult {
  const question = worded(check.question, seen);
  const strips = parts.strips();
  const begin = answersFirst.value && !parts.acted ? html`<ol class="how">${steps(check.how.slice(0, 1), seen)}</ol>` : nothing;
  const looking = html`${howTo(check, seen, begin === nothing ? 0 : 1)}
    <p class="normal"><strong>Normal:</strong> ${worded(check.normal, seen)}</p>
    <p class="why"><strong>Why:</strong> ${worded(check.why, seen)}</p>
    ${parts.rest}`;
  return html`<article class="question" data-check=${check.id}>
    ${above ? html`<p class="above">${above}</p>` : nothing}
    <h1 class="question-words" tabindex="-1">${question}</h1>
    ${strips} ${answersFirst.value ? begin : looking} ${parts.answers} ${answersFirst.value ? looking : nothing}
  </article>`;
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
    void saveAnswer(stage, view, asking, [...numbers.drafts(), answerDraft(view, me, check.id, { outcome }, numbers.answerMore())], words);
  };
  const answers = check.outcomes.map(({ id, words, verdict }) => ({ id, words, verdict, barred: numbers.barred(id) ?? stillWaits(stage, view, check, id) })); // those that the figures leave come first
  return html`<section class="dock" aria-label="Answers" data-stick>
    ${numbers.said ? html`<div class="said-row">${numbers.typed.map((one) => html`<button class="chip" type="button" data-typed-figure @click=${() => one.open()}>${one.words}</button>`)}
      <p class="said">${numbers.saidUnsafe ? "Do that first, then answer." : html`By your figures: <strong>${numbers.said[0]}</strong> ${numbers.said.slice(1).join(" ")} You decide.`}${answers.some((one) => one.barred) ? " Mistyped? Tap the figure." : ""}${numbers.kept ? " Saved on this phone." : " Saved with the answer."}</p></div>` : nothing}
    ${numbers.wanted
      ? html`<button class="button wide tall" type="button" data-lamp data-wanted @click=${() => numbers.wanted?.open()}>${numbers.wanted.words}</button>`
      : answerButtons([...answers.filter((one) => !one.barred), ...answers.filter((one) => one.barred)], answer, stage.busy.value || numbers.pending)}
    ${numbers.saidUnsafe ? nothing : couldNotButton(stage, check, answers.length % 2 === 1)}
  </section>`;
}

export async function saveAnswer(stage: Stage, view: JobView, asking: Asking, drafts: Draft[], words: string): Promise<void> {
  if (await stage.act(view, drafts, words)) asking.after();
}

function howTo(check: Check, seen: Set<string>, from = 0): TemplateResult {
  return html`<div class="looking">${sketchFigure(check.sketch, check.title)}<ol class="how" start=${from + 1}>${steps(check.how.slice(from), seen)}</ol></div>`;
}

function steps(lines: readonly string[], seen: Set<string>): TemplateResult[] {
  return lines.map((line) => html`<li>${worded(line, seen)}</li>`);
}

/** "Could not", apart from the answers and quieter; two to a line it takes the place that an odd number leaves. */
export function couldNotButton(stage: Stage, check: Check, beside = false): TemplateResult {
  return html`<button class="button wide quiet" type="button" data-could-not ?data-beside=${beside} @click=${() => (stage.local(`could-not ${check.id}`, false).value = true)}>Could not check</button>`;
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
    ${lateBit((late) => late.missingList(view, missing, ["check", check.id]), html`<p>${missing.join("; ")}</p>`)}
  </section>`;
}
