/** Suspects, when asked for: what is still possible, what was ruled out and by what, in words first. */
import { html, nothing, type TemplateResult } from "lit-html";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import type { RankedCause } from "../generated/trade";
import { jobHref } from "../router";
import { inHundred } from "../words";
import { worded } from "./later";
import { answerWords, causeWords, checkTitle, verdictOf } from "./record_read";
import type { Screen, Stage } from "./screen";

const STATE_WORDS: { [state in RankedCause["state"]]: string } = { likely: "likely", possible: "still possible", ruled_out: "ruled out" };
export const WORTH_A_LINE = 0.025;

export function suspectsScreen(stage: Stage, view: JobView): Screen {
  const ranking = view.advice?.ranking ?? [];
  const open = ranking.filter((one) => one.state !== "ruled_out");
  const near = open.filter((one) => one.p_shown >= WORTH_A_LINE || one.state === "likely");
  const far = open.filter((one) => !near.includes(one));
  const out = ranking.filter((one) => one.state === "ruled_out");
  const seen = new Set<string>();
  return {
    title: "Suspects", key: "suspects",
    body: html`${savedStrip(stage, view)}
      <h1 tabindex="-1">Suspects</h1>
      <p class="soft">Worked out on this phone from what was found. The starting figures are an expert's guess: they help to choose a check, they prove nothing.</p>
      ${view.advice?.fit.strained ? html`<p class="strip">What was found fits no single cause well: two faults, or one answer to look at again${lookAgain(view)}.</p>` : nothing}
      ${ranking.length === 0 ? html`<p class="empty">Nothing to rank yet.</p>` : nothing}
      <ol class="suspects">${near.map((one) => suspect(view, one, seen))}</ol>
      ${far.length > 0 ? html`<details class="more"><summary>Less likely now, fewer than 5 in 100 each (${far.length})</summary><ul class="suspects">${far.map((one) => suspect(view, one, seen))}</ul></details>` : nothing}
      ${out.length > 0 ? html`<h2>Ruled out</h2>${ruledOut(view, out)}` : nothing}
      ${view.card.state === "open" ? html`<div class="dock"><a class="button wide" href=${jobHref(view.card.job_id, "cause")}>Name the cause</a></div>` : nothing}`,
  };
}

/** By what was found, not cause by cause: one look may rule out many. */
function ruledOut(view: JobView, out: readonly RankedCause[]): TemplateResult {
  const groups = new Map<string, string[]>();
  for (const one of out) {
    const by = one.by.map(({ check, outcome }) => `${checkTitle(view.procedure, check)}: ${answerWords(view.procedure, check, { outcome, could_not: null })}`).join("; ");
    groups.set(by, [...(groups.get(by) ?? []), causeWords(view.procedure, one.cause)]);
  }
  return html`<ul class="suspects">${[...groups].map(([by, causes]) => html`<li class="suspect" data-state="ruled_out">
    <strong>By ${by || "what was found"}</strong>
    ${causes.map((words) => html`<span>${words}</span>`)}</li>`)}</ul>`;
}

function lookAgain(view: JobView): string {
  const checks = view.advice?.fit.look_again ?? [];
  return checks.length > 0 ? ` (${checks.map((check) => checkTitle(view.procedure, check).toLowerCase()).join(", ")})` : "";
}

export function suspect(view: JobView, one: RankedCause, seen = new Set<string>()): TemplateResult {
  return html`<li class="suspect" data-cause=${one.cause} data-state=${one.state}>
    <strong>${worded(causeWords(view.procedure, one.cause), seen)}</strong>
    <span class="suspect-state">${STATE_WORDS[one.state]}${one.state === "ruled_out" ? "" : html`, <span class="soft">${inHundred(one.p_shown)}</span>`}</span>
    ${one.by.length > 0 ? html`<ul class="moved">${one.by.map((by) => html`<li>${one.state === "ruled_out" ? "by " : ""}${checkTitle(view.procedure, by.check)}:
      <span class="moved-words" data-verdict=${verdictOf(view.procedure, by.check, { outcome: by.outcome, could_not: null })}>${answerWords(view.procedure, by.check, { outcome: by.outcome, could_not: null })}</span></li>`)}</ul>` : nothing}
  </li>`;
}
