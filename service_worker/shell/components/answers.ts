/** The answers: full width, equal in weight, none chosen beforehand. */
import { html, type TemplateResult } from "lit-html";
import { verdictMark, type Verdict } from "./verdict";

export interface Answer {
  id: string;
  words: string;
  verdict?: Verdict;
  more?: string;
  /** why it cannot be given now: it stays in sight and takes no tap */
  barred?: string | null;
}

export function answerButtons(answers: readonly Answer[], onTap: (id: string) => void, busy = false): TemplateResult {
  return html`<ul class="answers">
    ${answers.map((answer) => html`<li>
      <button class="answer" type="button" data-answer=${answer.id} ?data-barred=${Boolean(answer.barred)} aria-disabled=${busy || answer.barred ? "true" : "false"} @click=${() => answer.barred || onTap(answer.id)}>
        <span class="answer-words">${answer.words}</span>
        ${answer.verdict && !answer.barred ? verdictMark(answer.verdict) : ""}
        ${answer.barred ? html`<span class="answer-more">${answer.barred}</span>` : ""}
        ${answer.more ? html`<span class="answer-more">${answer.more}</span>` : ""}
      </button>
    </li>`)}
  </ul>`;
}
