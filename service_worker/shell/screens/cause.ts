/** Towards the end of a job: the cause. */
import { html, nothing } from "lit-html";
import { answerButtons, type Answer } from "../components/answers";
import { savedStrip } from "../components/strips";
import type { Draft, JobView } from "../core_types";
import { jobHref } from "../router";
import { replacing } from "./drafts";
import { wordsField } from "./note";
import { causeWords } from "./record_read";
import type { Screen, Stage } from "./screen";
import { suspect, WORTH_A_LINE } from "./suspects";

/** The last cause of every procedure: what none of the named ones explains. */
const NONE = "none_of_these";

/** Still possible first; what was ruled out can be named too, with a word of why. */
export function causeScreen(stage: Stage, view: JobView): Screen {
  const chosen = stage.typed<string | null>("cause", null);
  const why = stage.typed("cause why", "");
  const ranking = view.advice?.ranking ?? [];
  const out = new Set(ranking.filter((one) => one.state === "ruled_out").map((one) => one.cause));
  const order = ranking.length > 0 ? ranking.map((one) => one.cause) : (view.procedure?.causes.map((cause) => cause.id) ?? []);
  const near = new Set(ranking.filter((one) => one.p_shown >= WORTH_A_LINE || one.state === "likely").map((one) => one.cause));
  const named = order.filter((cause) => cause !== NONE);
  const open = named.filter((cause) => near.has(cause) || ranking.length === 0);
  const far = named.filter((cause) => !out.has(cause) && !open.includes(cause));
  const asAnswers = (causes: readonly string[]): Answer[] => causes.map((id) => ({ id, words: causeWords(view.procedure, id) }));
  const save = async (cause: string): Promise<void> => {
    const mine = view.record.causes.filter((one) => one.by.person_id === stage.core.person.value?.id);
    const body = { cause, ...(why.value.trim() ? { words: why.value.trim() } : {}) };
    const draft: Draft = { kind: "cause_named", body, ...(view.record.proofs.length > 0 ? {} : replacing(mine.map((one) => one.by.event_id))) };
    if (await stage.act(view, [draft], `cause: ${causeWords(view.procedure, cause)}`)) stage.go(jobHref(view.card.job_id, "repair"));
  };
  const tap = (cause: string): void => {
    if (cause !== NONE && cause !== "other" && (cause === ranking[0]?.cause || ranking.length === 0)) void save(cause);
    else chosen.value = cause;
  };
  if (chosen.value !== null) {
    const cause = chosen.value;
    const line = ranking.find((one) => one.cause === cause);
    const unnamed = cause === NONE || cause === "other"; // without a word it would tell the next one nothing
    return {
      title: "Why this cause", key: `cause ${cause}`,
      body: html`<h1 tabindex="-1">${unnamed ? "Something else: what was it?" : html`${causeWords(view.procedure, cause)}: what tells you?`}</h1>
        <p class="soft">${unnamed ? "Say it for whoever comes next." : "What was found so far points elsewhere first. A word of why helps whoever comes next."}</p>
        ${line ? html`<ul class="suspects">${suspect(view, line)}</ul>` : nothing}
        ${wordsField("cause-why", "In your own words", why)}
        <div class="dock"><button class="button wide tall" type="button" data-lamp data-save-cause ?disabled=${stage.busy.value || (unnamed && !why.value.trim())} @click=${() => void save(cause)}>
          ${why.value.trim() || unnamed ? "Name it" : "Name it without a word"}</button>
          <button class="button wide quiet" type="button" @click=${() => (chosen.value = null)}>Another cause</button></div>`,
    };
  }
  return {
    title: "The cause", key: "cause",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">What was the cause?</h1>
      ${view.record.cause ? html`<p class="strip recorded">Recorded: <strong>${causeWords(view.procedure, view.record.cause)}</strong></p>` : nothing}
      <p class="soft">Still possible. What was found fits the upper ones better.</p>
      <section class="dock" aria-label="Answers">${answerButtons([...asAnswers(open), { id: order.includes(NONE) ? NONE : "other", words: "Something else" }], tap, stage.busy.value)}
      ${far.length > 0 ? html`<details class="more"><summary>Less likely by what was found (${far.length})</summary>${answerButtons(asAnswers(far), tap, stage.busy.value)}</details>` : nothing}
      ${out.size > 0 ? html`<details class="more"><summary>Ruled out (${out.size})</summary>${answerButtons(asAnswers([...out]), tap, stage.busy.value)}</details>` : nothing}</section>`,
  };
}
