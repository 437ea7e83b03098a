/** What already stands of a check, over its question: each one's words side by side, and a figure that nobody answered yet. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import type { Answer, Check, Mark, Reading } from "../generated/trade";
import { clockWords, readingWords } from "../words";
import { answerWords, currentAnswers } from "./record_read";

export function recordedStrip(view: JobView, check: Check, isTyping: boolean, isAnew: boolean): TemplateResult | typeof nothing {
  const answers = currentAnswers(view.record, check.id);
  const open = isTyping ? [] : unanswered(view, check.id, answers);
  if (answers.length + open.length === 0) return nothing;
  const who = (by: Mark): TemplateResult => html`<span class="soft">${view.people[by.person_id] ?? "someone else"}, ${clockWords(by.at_wall)}</span>`;
  return html`<div class="strip recorded">
    ${answers.map((answer) => html`<p><strong>${answerWords(view.procedure, check.id, answer)}</strong> ${who(answer.by)}</p>`)}
    ${open.map(({ value, quantity, by }) => html`<p data-unanswered><strong>${readingWords(value, quantity)}</strong> ${who(by)}. Not answered yet.</p>`)}
    ${(view.advice?.by_figure ?? []).filter((one) => one.check === check.id).map((one) => html`<p data-by-figure><strong>${one.words}</strong></p>`)}
    ${answers.length > 0 ? html`<p class="soft">${besideWords(answers)}${isAnew ? nothing : "A new answer takes the place of your own."}</p>` : nothing}
  </div>`;
}

/** Why several stand: two people, or the same look before a repair and after it. */
function besideWords(answers: Answer[]): string {
  const saidOf = (some: Answer[]): number => new Set(some.map((one) => one.outcome ?? one.could_not)).size;
  const [before, after] = [answers.filter((one) => !one.after_repair), answers.filter((one) => one.after_repair)];
  if (saidOf(before) > 1 || saidOf(after) > 1) return "Two people saw this differently. Both stay. ";
  if (before.length > 0 && after.length > 0) return "Before the repair, and after it. Both stay. ";
  return answers.length > 1 ? "Two people saw the same. " : "";
}

/** The last of each figure, where its own person said nothing to it. */
function unanswered({ record }: JobView, check: string, answers: Answer[]): Reading[] {
  const last = new Map(record.readings.filter((one) => one.check === check).map((one) => [`${one.by.person_id} ${one.quantity} ${one.place} ${one.state}`, one]));
  return [...last.values()].filter(({ by }) => !answers.some((one) => one.by.person_id === by.person_id && one.by.lamport > by.lamport));
}
