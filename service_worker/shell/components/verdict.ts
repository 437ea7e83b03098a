/** A verdict is always a word, a shape and a colour; the shape and the colour come from base.css. */
import { html, type TemplateResult } from "lit-html";
import { VERDICT_WORDS } from "../words";

export type Verdict = "good" | "doubtful" | "bad" | "cannot_tell" | "not_checked";

export function verdictMark(verdict: Verdict, words: string = VERDICT_WORDS[verdict] ?? verdict): TemplateResult {
  return html`<span class="verdict" data-verdict=${verdict}>${words}</span>`;
}
