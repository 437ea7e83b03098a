/** The answers: full width, equal in weight, none chosen beforehand. */
import { html, type TemplateResult } from "lit-html";
import { verdictMark, type Verdict } from "./verdict";

export interface Answer {
  id: string;
  words: string;
  verdict?: Verdict;
  more?: string;
}

export function answerButtons(answers: readonly Answer[], onTap: (id: string) => void, busy = false): TemplateResult {
  return html`<ul class="answers">
    ${answers.map((answer) => html`<li>
      <button class="answer" type="button" data-answer=${answer.id} aria-disabled=${busy ? "true" : "false"} @click=${() => onTap(answer.id)}>
        <span class="answer-words">${answer.words}</span>
        ${answer.verdict ? verdictMark(answer.verdict) : ""}
        ${answer.more ? html`<span class="answer-more">${answer.more}</span>` : ""}
      </button>
    </li>`)}
  </ul>`;
}
