/** The end of a job: cause, repair, and how it is closed. The hot run has a file of its own. */
import { html, nothing } from "lit-html";
import { answerButtons, type Answer } from "../components/answers";
import { savedStrip } from "../components/strips";
import type { Draft, JobView } from "../core_types";
import { jobHref } from "../router";
import { CLOSE_STATES, closeWords } from "../words";
import { replacing } from "./drafts";
import { wordsField } from "./note";
import { causeWords, repairWords } from "./record_read";
import type { Screen, Stage } from "./screen";
import { suspect, WORTH_A_LINE } from "./suspects";

/** The last cause of every procedure: what none of the named ones explains. */
const NONE = "none_of_these";

/** Still possible first; what was ruled out can be named too, with a word of why. */
export function causeScreen(stage: Stage, view: JobView): Screen {
  const chosen = stage.local<string | null>("cause", null);
  const why = stage.local("cause why", "");
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
    if (cause === ranking[0]?.cause || ranking.length === 0) void save(cause);
    else chosen.value = cause;
  };
  if (chosen.value !== null) {
    const cause = chosen.value;
    const line = ranking.find((one) => one.cause === cause);
    return {
      title: "Why this cause", key: `cause ${cause}`,
      body: html`<h1 tabindex="-1">${causeWords(view.procedure, cause)}: what tells you?</h1>
        <p class="soft">What was found so far points elsewhere first. A word of why helps whoever comes next.</p>
        ${line ? html`<ul class="suspects">${suspect(view, line)}</ul>` : nothing}
        ${wordsField("cause-why", "In your own words", why)}
        <div class="dock"><button class="button wide tall" type="button" data-lamp data-save-cause ?disabled=${stage.busy.value} @click=${() => void save(cause)}>
          ${why.value.trim() ? "Name it" : "Name it without a word"}</button>
          <button class="button wide quiet" type="button" @click=${() => (chosen.value = null)}>Another cause</button></div>`,
    };
  }
  return {
    title: "The cause", key: "cause",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">What was the cause?</h1>
      ${view.record.cause ? html`<p class="strip recorded">Recorded: <strong>${causeWords(view.procedure, view.record.cause)}</strong></p>` : nothing}
      <p class="soft">Still possible. What was found fits the upper ones better.</p>
      <section class="dock" aria-label="Answers">${answerButtons([...asAnswers(open), { id: order.includes(NONE) ? NONE : "other", words: "Something else" }], tap, stage.busy.value)}
      ${far.length > 0 ? html`<details class="more"><summary>Far off by what was found (${far.length})</summary>${answerButtons(asAnswers(far), tap, stage.busy.value)}</details>` : nothing}
      ${out.size > 0 ? html`<details class="more"><summary>Ruled out (${out.size})</summary>${answerButtons(asAnswers([...out]), tap, stage.busy.value)}</details>` : nothing}</section>`,
  };
}

export function repairScreen(stage: Stage, view: JobView): Screen {
  const { procedure, record } = view;
  const all = stage.local("all repairs", false);
  const words = stage.local("repair words", "");
  const ours = procedure?.causes.find((cause) => cause.id === record.cause)?.repairs ?? [];
  const rest = procedure?.repairs.map((repair) => repair.id).filter((id) => !ours.includes(id)) ?? [];
  const shown = all.value || ours.length === 0 ? [...ours, ...rest] : ours;
  const save = async (action: string): Promise<void> => {
    const more = words.value.trim() ? { words: words.value.trim() } : {};
    if (await stage.act(view, [{ kind: "repair_made", body: { action, ...more } }], `repair: ${repairWords(procedure, action)}`)) words.value = "";
  };
  return {
    title: "The repair", key: `repair ${record.repairs.length}`,
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">${record.repairs.length > 0 ? "Anything else done?" : "What was done?"}</h1>
      ${record.cause ? html`<p class="soft">Cause: ${causeWords(procedure, record.cause)}</p>` : nothing}
      ${record.repairs.length > 0 ? html`<ul class="plain done">${record.repairs.map((one) => html`<li>${repairWords(procedure, one.action)}${one.words ? html`. <span class="soft">${one.words}</span>` : nothing}</li>`)}</ul>` : nothing}
      ${record.parts.length > 0 ? html`<ul class="plain done">${record.parts.map((one) => html`<li>${one.direction === "fitted" ? "Fitted" : "Taken out"}: ${one.count} × ${one.part_words}</li>`)}</ul>` : nothing}
      <section aria-label="Repairs">${answerButtons([...shown.map((id) => ({ id, words: repairWords(procedure, id) })), { id: "other", words: "Something else" }], (id) => void save(id), stage.busy.value)}
        ${!all.value && ours.length > 0 && rest.length > 0 ? html`<button class="button wide quiet" type="button" @click=${() => (all.value = true)}>Other repairs (${rest.length})</button>` : nothing}
        ${wordsField("repair-words", "A word about it (goes with the next tap)", words)}</section>
      ${partForm(stage, view)}
      ${record.repairs.length > 0 ? html`<div class="dock"><a class="button wide tall" data-lamp href=${jobHref(view.card.job_id, "proof")}>Record the hot run</a></div>` : nothing}`,
  };
}

function partForm(stage: Stage, view: JobView): ReturnType<typeof html> {
  const part = stage.local("part words", "");
  const howMany = stage.local("part count", 1);
  const direction = stage.local<"fitted" | "removed">("part direction", "fitted");
  const save = async (): Promise<void> => {
    const body = { part_words: part.value.trim(), count: howMany.value, direction: direction.value };
    if (await stage.act(view, [{ kind: "part_used", body }], `part: ${body.part_words}`)) part.value = "";
  };
  return html`<details class="more"><summary>A part, fitted or taken out</summary>
    <div class="chips">${(["fitted", "removed"] as const).map((one) => html`<button class="chip" type="button" aria-pressed=${String(direction.value === one)} @click=${() => (direction.value = one)}>${one === "fitted" ? "Fitted" : "Taken out"}</button>`)}</div>
    ${wordsField("part-words", "Which part", part)}
    <div class="stepper"><span>How many</span>
      <button class="button" type="button" aria-label="one fewer" @click=${() => (howMany.value = Math.max(1, howMany.value - 1))}>−</button>
      <strong class="stepper-count">${howMany.value}</strong>
      <button class="button" type="button" aria-label="one more" @click=${() => (howMany.value += 1)}>+</button></div>
    <button class="button wide" type="button" ?disabled=${part.value.trim() === "" || stage.busy.value} @click=${() => void save()}>Save the part</button></details>`;
}

/** Proven wants a hot run that held; an unsafe heater never stays running as "not proven". */
export function closeScreen(stage: Stage, view: JobView, wanted: string | null): Screen {
  const words = stage.local("close words", "");
  const fault = stage.local<string | null>("close fault", null);
  const { record } = view;
  const save = async (state: string): Promise<void> => {
    const why = whyNot(view, state);
    if (why === "left off") return stage.go(jobHref(view.card.job_id, "left-off"));
    fault.value = why;
    if (why !== null) return;
    const body = { state, ...(words.value.trim() ? { words: words.value.trim() } : {}) };
    if (await stage.act(view, [{ kind: "job_closed", body }], `closed: ${closeWords(state)}`)) stage.go(jobHref(view.card.job_id));
  };
  const stopped = view.advice?.gate.state === "stopped";
  const states = CLOSE_STATES.filter(([id]) => (wanted ? id === wanted : !stopped || id === "left_off"));
  return {
    title: "Close the job", key: "close",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">How does the job stand?</h1>
      ${stopped && !wanted ? html`<p class="strip" data-kind="caution">The safety gate says stop. The heater is left off and tagged, or the reason is gone and answered again.</p>` : nothing}
      ${fault.value ? html`<p class="strip" data-kind="bad" role="alert">${fault.value}</p>` : nothing}
      ${wordsField("close-words", "A word for whoever comes next", words)}
      <section class="dock" aria-label="Answers">${answerButtons(states.map(([id, one, more]) => ({ id, words: one, more })), (id) => void save(id), stage.busy.value)}
      ${wanted ? html`<a class="button wide quiet" href=${jobHref(view.card.job_id, "close")}>Another way to close</a>` : nothing}</section>`,
  };

  function whyNot(now: JobView, state: string): string | null {
    if (state === "proven" && !now.record.proven) return "Not yet: “proven” wants a hot run that held. Record the hot run first, or close it as not proven.";
    if (state === "not_proven" && words.value.trim() === "") return "Say in a few words why it is not proven.";
    if (state === "left_off" && record.left_off.length === 0) return "left off";
    return null;
  }
}
