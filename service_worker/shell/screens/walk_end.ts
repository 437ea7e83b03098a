/** The end of the walk: enough is known, the burner may not run, or nothing is left to ask; and where one goes on. */
import { html, nothing } from "lit-html";
import { savedStrip } from "../components/strips";
import { senseStrip } from "../components/sense_strip";
import type { JobView, WalkAdvice } from "../core_types";
import { jobHref } from "../router";
import { closeWords, dangerWords } from "../words";
import { checkOf } from "./record_read";
import type { Screen, Stage } from "./screen";
import { nextStep } from "./walk";

const END_WORDS = {
  closed: ["This job is closed", "The record stays on this phone and in the office."],
  ready: ["Enough is known to name a cause", ""],
  held: ["The burner may not run yet", ""],
  nothing_left: ["Nothing is left to ask", ""],
} as const;

export function endScreen(view: JobView, end: keyof typeof END_WORDS, advice?: WalkAdvice, stage?: Stage): Screen {
  const [title, words] = END_WORDS[end];
  const job = view.card.job_id;
  const { record } = view;
  const step = nextStep(view);
  const others = end === "closed" ? [] : leftToOthers(view);
  const unsafe = end !== "closed" && !record.heater_off && view.danger.length > 0;
  return {
    title, key: `end ${end}`,
    body: html`${advice ? senseStrip(advice.left, null) : nothing} ${stage ? savedStrip(stage, view) : nothing}
      <h1 tabindex="-1">${unsafe ? "No burner may run" : step && record.causes.length > 0 ? step.title : others.length > 0 && advice?.ranking[0]?.state !== "likely" ? "This is as far as you may go" : title}</h1>
      <p>${record.closed ? html`<strong>${closeWords(record.closed.state)}.</strong> ` : nothing}${unsafe ? `${dangerWords(view.danger)}. It stays off until that is put right: leave it off and tagged, or put it right and look again.` : words || (record.causes.length > 0 ? "" : advice?.conclude.why_words)}</p>
      ${others.length > 0 ? html`<p class="strip" data-left-to-others><strong>Left to somebody trained and allowed:</strong> ${others.join(", ")}.</p>` : nothing}
      <div class="dock">
        ${unsafe ? html`<a class="button wide tall" data-lamp data-leave-off href=${jobHref(job, "left-off")}>Leave it off</a>` : nothing}
        ${step && end !== "closed" ? html`<a class="button wide tall" ?data-lamp=${!unsafe} href=${jobHref(job, step.screen)}>${step.words}</a>` : nothing}
        ${others.length > 0 ? html`<a class="button wide" href=${jobHref(job, "close", "handed_over")}>Hand it over</a>` : nothing}
        ${end === "closed" ? nothing : html`<a class="button wide" href=${jobHref(job, "checks")}>Check something else</a>`}
        <a class="button wide" href=${jobHref(job, "record")}>The record</a>
      </div>`,
  };
}

/** What whoever is here may not do: it waits, and is no result. */
function leftToOthers(view: JobView): string[] {
  const left = view.record.checks.filter(({ entries }) => entries.some((one) => one.current && one.could_not === "not_allowed"));
  return left.map(({ check }) => checkOf(view, check)?.title ?? check);
}
