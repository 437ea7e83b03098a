/** Stop: what to do now, in words one can act on with the door behind one's back. */
import { html, nothing, type TemplateResult } from "lit-html";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import { jobHref, type JobScreen } from "../router";
import { readingWords } from "../words";
import { foundWords } from "./found_elsewhere";
import { lateBit } from "./later";
import { answerWords, checkTitle, currentAnswers } from "./record_read";
import type { Screen, Stage } from "./screen";

export function stopScreen(stage: Stage, view: JobView, check: string | null, words: string): Screen {
  const job = view.card.job_id;
  const figure = view.record.readings.findLast((one) => one.check === check); // it may stand without an answer
  const said = [...(check ? currentAnswers(view.record, check).map((one) => answerWords(view.procedure, check, one)) : []), ...(figure ? [readingWords(figure.value, figure.quantity)] : [])];
  const theirs = view.elsewhere.filter((one) => one.look === check && one.stop_words === words);
  return {
    title: "Stop",
    key: `stop ${check ?? ""}`,
    body: html`
      <section class="stop-card stop" role="alert">
        <h1 tabindex="-1">Stop</h1>
        <ul class="stop-words">${sentences(words).map((line) => html`<li>${line}</li>`)}</ul>
        ${theirs.map((one) => html`<p>${foundWords(view, one)}</p>`)}
      </section>
      ${lateBit((late) => late.stopTell(stage, view, check), nothing)}
      <div class="dock" data-stick>
        ${afterStop(view)}
        ${check ? lateBit((late) => late.anewButtons(stage, view, check), html`<a class="button wide quiet" href=${jobHref(job, "check", check)}>It is safe now: look again, and answer</a>`) : nothing}
      </div>
      ${check && said.length > 0 ? html`<p class="soft">${checkTitle(view.procedure, check)}: ${said.join("; ")}</p>` : nothing}
      ${savedStrip(stage, view)}`,
  };
}

/** Out first; then what was left off is written down, told by voice, and the job closed as that. */
function afterStop({ card, record }: JobView): TemplateResult {
  const [words, ...way]: [string, JobScreen, string?] = record.left_off.length === 0 ? ["When you are safe: write down what was left off", "left-off"]
    : record.office_not_told ? ["Left off is noted: tell the office", "office-told"] : ["Close the job as left off", "close", "left_off"];
  return html`<a class="button wide" data-after-stop href=${jobHref(card.job_id, ...way)}>${words}</a>`;
}

/** One thing to do a line. */
export function sentences(words: string): string[] {
  return words.split(/(?<=[.!])\s+/).filter((line) => line !== "");
}
