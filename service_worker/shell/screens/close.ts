/** How the job stands: every way to close it that the record bears, and why the others are not offered. */
import { html, nothing, type TemplateResult } from "lit-html";
import { answerButtons } from "../components/answers";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import type { CloseOffer } from "../generated/trade";
import { jobHref } from "../router";
import { clockWords, CLOSE_STATES, closeWords } from "../words";
import { askedOfJob } from "./asked";
import { foundWords } from "./found_elsewhere";
import { reasonWords } from "./leads";
import { wordsField } from "./note";
import { tooSoonStrip, tooSoonWords, WHY_IT_COUNTS } from "./proof_time";
import type { Screen, Stage } from "./screen";
import { leftOffBefore, leftOffWords } from "./stands_off";
import { ownBelow } from "./visit_strips";

/** These say nothing to whoever comes next unless a word goes with them, nor to the customer, whose sheet quotes it. */
const WANTS_WORDS: { [state: string]: string } = {
  not_proven: "Say in a few words why it is not proven.", waiting_part: "Which part? The customer reads this.", handed_over: "Handed over to whom? The customer reads this.",
  not_seen_today: "Say what you watched, and for how long.", declined: "Say what was offered, and what the customer answered.", replaced: "Say what stands there now: its kind, and maker or size. The customer reads this.",
};

/** As the rules have it: a heater that runs, or may be switched on by whoever comes next. */
const RUNNING = ["proven", "not_proven", "not_seen_today"];

/** "x" says nothing of a heater: its kind and what it is take two words. */
export function saysNothing(state: string, words: string): boolean {
  return words === "" || (state === "replaced" && (words.length < 8 || !/\S\s+\S/.test(words)));
}

/** What was declined may stand in the record already, with what was told. */
function wantedWords({ record }: JobView, state: string): string | null {
  const told = state === "declined" && (record.agreements ?? []).some((one) => one.decision === "declined");
  return told ? null : (WANTS_WORDS[state] ?? null);
}

export function closeScreen(stage: Stage, view: JobView, wanted: string | null): Screen {
  const words = stage.typed("close words", "");
  const why = stage.typed("close why", "");
  const fault = stage.local<string | null>("close fault", null);
  const out = stage.typed("close out", false);
  const { record } = view;
  const job = view.card.job_id;
  const below = ownBelow(stage, view);
  const asked = askedOfJob<CloseOffer[]>(stage, view, "close_states");
  const offers = asked.answer ?? (asked.away ? withoutRules(view) : []);
  const stopped = view.advice?.gate.state === "stopped";
  const shown = offers.filter((one) => one.offered && (wanted ? one.state === wanted : !stopped || one.state === "left_off"));
  const refused = wanted ? [] : offers.filter((one) => !shown.includes(one));
  const save = async (state: string): Promise<void> => {
    if (state === "left_off" && record.left_off.length === 0) return stage.go(jobHref(job, "left-off"));
    const asks = offers.find((one) => one.state === state)?.asks_words ?? null;
    fault.value = asks && why.value.trim() === "" ? asks : saysNothing(state, words.value.trim()) ? wantedWords(view, state) : null;
    if (fault.value !== null) return;
    const said = [asks ? `${WHY_IT_COUNTS}${why.value.trim()}` : "", words.value.trim()].filter(Boolean).join("; ");
    const body = { state, ...(said ? { words: said } : {}), ...(below ? { out: out.value } : {}) };
    if (await stage.act(view, [{ kind: "job_closed", schema: below ? 2 : 1, body }], `closed: ${closeWords(state)}`)) stage.go(record.office_not_told ? jobHref(job, "office-told") : jobHref(job));
  };
  const off = leftOffBefore(view).map((one) => `${leftOffWords(one)}.`);
  if (record.heater_off) off.unshift("The heater is off and tagged.");
  return {
    title: "Close the job", key: "close",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">How does the job stand?</h1>
      ${stopped && !wanted ? html`<p class="strip" data-kind="caution">The safety gate says stop. Leave the heater off and tagged; or the reason is gone, and it is answered again.</p>` : nothing}
      ${off.length > 0 ? html`<div class="strip stack" data-put-back><p>${off.join(" ")}</p>
        <a class="button wide" ?data-lamp=${record.proven} href=${jobHref(job, "put-back")}>Note that it is back in service</a></div>` : nothing}
      ${tooSoonStrip(view, shown.find((one) => one.asks_words)?.asks_words ?? null, why)}
      ${fault.value ? html`<p class="strip" data-kind="bad" role="alert">${fault.value}</p>` : nothing}
      ${below ? outLine(below.due_out_wall, out.value, () => (out.value = !out.value)) : nothing}
      ${wordsField("close-words", wanted === "waiting_part" ? "Which part? The customer reads this" : "A word for whoever comes next. The customer may read it", words)}
      <section class="dock" aria-label="Answers">${offers.length === 0 ? html`<p class="soft">Being read from the record…</p>` : nothing}
      ${answerButtons(shown.map((one) => ({ id: one.state, words: closeWords(one.state), more: one.why_words })), (id) => void save(id), stage.busy.value)}
      ${wanted ? html`<a class="button wide quiet" href=${jobHref(job, "close")}>Another way to close</a>` : nothing}</section>
      ${refused.length > 0 ? html`<details class="more" ?open=${shown.length < 4}><summary>Not now (${refused.length}), and why</summary>
        <ul class="not-now">${[...byReason(refused)].map(([why, states]) => html`<li data-refused=${states.join(" ")}><strong>${states.map(closeWords).join(", ")}.</strong> ${reasonWords(view, why)}</li>`)}</ul>
        <p class="soft">Put right since? <a class="inline-link" href=${jobHref(job, "repair")}>Note the repair</a>, then <a class="inline-link" href=${jobHref(job, "checks")}>answer that check again</a>. What was only looked at again stays so: airing a room is no repair.</p></details>` : nothing}`,
  };
}

/** Closing says nothing of where one stands: whoever is still at the heater is waited for. */
function outLine(wall: string, out: boolean, flip: () => void): TemplateResult {
  return html`<div class="strip" data-out><p>Due out ${clockWords(wall)}. The office waits for you until you are out.</p>
    <button class="chip" type="button" data-i-am-out aria-pressed=${String(out)} @click=${flip}>I am out</button></div>`;
}

/** One reason, said once for all the ways that it keeps shut. */
function byReason(refused: readonly CloseOffer[]): Map<string, string[]> {
  const reasons = new Map<string, string[]>();
  for (const one of refused) {
    const why = one.offered ? "The safety gate says stop." : one.why_words;
    reasons.set(why, [...(reasons.get(why) ?? []), one.state]);
  }
  return reasons;
}

/** The rules' question, without them. */
function asksWhy({ record }: JobView): string | null {
  const last = record.proofs.at(-1);
  return last?.too_soon ? `${tooSoonWords(last)} Say why it still counts.` : null;
}

/** The rules cannot be asked: what the record alone forbids is still not offered. */
function withoutRules(view: JobView): CloseOffer[] {
  const off = view.record.heater_off || leftOffBefore(view).length > 0;
  const found = view.elsewhere[0];
  return CLOSE_STATES.map(([state, , more]) => {
    const refusal = off && RUNNING.includes(state) ? "What was left off stands off: put it back in service first."
      : found && !["left_off", "handed_over"].includes(state) ? `${foundWords(view, found)} Look at it again first.`
      : state === "not_seen_today" ? "The rules do not answer: nobody can tell whether every look for safety was made."
      : state === "proven" && !view.record.proven ? "“Proven” wants a hot run that held." : null;
    return { state: state as CloseOffer["state"], offered: refusal === null, why_words: refusal ?? more, asks_words: refusal === null && state === "proven" ? asksWhy(view) : null };
  });
}
