/** The end of the walk: enough is known, the burner may not run, or nothing is left to ask; and where one goes on. */
import { html, nothing } from "lit-html";
import { savedStrip } from "../components/strips";
import { senseStrip } from "../components/sense_strip";
import type { JobView, WalkAdvice } from "../core_types";
import { jobHref } from "../router";
import { closeWords, dangerWords } from "../words";
import { checkOf, verdictOf } from "./record_read";
import type { Screen, Stage } from "./screen";
import { nextStep } from "./walk";

const END_WORDS = {
  closed: ["This job is closed", "The record stays on this phone and in the office."],
  ready: ["Enough is known to name a cause", ""],
  held: ["The burner may not run yet", ""],
  nothing_left: ["Nothing is left to ask", ""],
} as const;

const FINE = "Nothing was found wrong";

export function endScreen(view: JobView, end: keyof typeof END_WORDS, advice?: WalkAdvice, stage?: Stage): Screen {
  const [title, words] = END_WORDS[end];
  const job = view.card.job_id;
  const { record } = view;
  const step = nextStep(view);
  const others = end === "closed" ? [] : leftToOthers(view);
  const unsafe = end !== "closed" && !record.heater_off && view.danger.length > 0;
  const fine = !unsafe && end === "ready" && step?.screen === "cause" && others.length === 0 && isAllGood(view);
  const said = unsafe ? `${dangerWords(view.danger)}. It stays off until that is put right: leave it off and tagged, or put it right and look again.`
    : fine ? "All that was answered is as it should be. A cause that nothing points to is no finding: if it ran while you watched, say so." : words || (record.causes.length > 0 ? "" : advice?.conclude.why_words);
  return {
    title: fine ? FINE : title, key: `end ${end}`,
    body: html`${advice ? senseStrip(advice.left, null) : nothing} ${stage ? savedStrip(stage, view) : nothing}
      <h1 tabindex="-1">${unsafe ? "No burner may run" : fine ? FINE : step && record.causes.length > 0 ? step.title : others.length > 0 && advice?.ranking[0]?.state !== "likely" ? "This is as far as you may go" : title}</h1>
      <p>${record.closed ? html`<strong>${closeWords(record.closed.state)}.</strong> ` : nothing}${said}</p>
      ${others.length > 0 ? html`<p class="strip" data-left-to-others><strong>Left to somebody trained and allowed:</strong> ${others.join(", ")}.</p>` : nothing}
      <div class="dock">
        ${unsafe ? html`<a class="button wide tall" data-lamp data-leave-off href=${jobHref(job, "left-off")}>Leave it off</a>` : nothing}
        ${fine ? html`<a class="button wide tall" data-lamp data-not-seen href=${jobHref(job, "close", "not_seen_today")}>${closeWords("not_seen_today")}</a>` : nothing}
        ${step && !fine && end !== "closed" ? html`<a class="button wide tall" ?data-lamp=${!unsafe} href=${jobHref(job, step.screen)}>${step.words}</a>` : nothing}
        ${others.length > 0 ? html`<a class="button wide" href=${jobHref(job, "close", "handed_over")}>Hand it over</a>` : nothing}
        ${end === "closed" ? nothing : html`<a class="button wide" href=${jobHref(job, "checks")}>Check something else</a>`}
        ${fine && step ? html`<a class="button wide" href=${jobHref(job, step.screen)}>${step.words} all the same</a>` : nothing}
        <a class="button wide" href=${jobHref(job, "record")}>The record</a>
      </div>`,
  };
}

/** Nothing that stands speaks for any cause. */
function isAllGood({ record, procedure }: JobView): boolean {
  return record.checks.every(({ check, entries }) => entries.every((one) => !one.current || one.outcome === null || verdictOf(procedure, check, one) === "good"));
}

/** What whoever is here may not do: it waits, and is no result. */
function leftToOthers(view: JobView): string[] {
  const left = view.record.checks.filter(({ entries }) => entries.some((one) => one.current && one.could_not === "not_allowed"));
  return left.map(({ check }) => checkOf(view, check)?.title ?? check);
}
