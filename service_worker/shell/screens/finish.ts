/** Towards the end of a job: the cause, and what was done about it. */
import { html, nothing } from "lit-html";
import { answerButtons, type Answer } from "../components/answers";
import { photoButton } from "../components/photo";
import { savedStrip } from "../components/strips";
import type { Draft, JobView } from "../core_types";
import { jobHref } from "../router";
import { count } from "../words";
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
      ${record.repairs.length === 0 ? beforeAnythingIsApart(stage, view) : nothing}
      <section aria-label="Repairs">${answerButtons([...shown.map((id) => ({ id, words: repairWords(procedure, id) })), { id: "other", words: "Something else" }], (id) => void save(id), stage.busy.value)}
        ${!all.value && ours.length > 0 && rest.length > 0 ? html`<button class="button wide quiet" type="button" @click=${() => (all.value = true)}>Other repairs (${rest.length})</button>` : nothing}
        ${wordsField("repair-words", "A word about it (goes with the next tap)", words)}</section>
      ${partForm(stage, view)}
      ${record.repairs.length > 0 ? html`<div class="dock" data-stick><a class="button wide tall" data-lamp href=${jobHref(view.card.job_id, "proof")}>Record the hot run</a></div>` : nothing}`,
  };
}

/** Offered once, before the first repair: neither stands in the way. */
function beforeAnythingIsApart(stage: Stage, view: JobView): ReturnType<typeof html> {
  const photos = view.record.photos.filter((photo) => photo.about === "damage_before").length;
  const last = view.record.agreements.at(-1);
  return html`<section class="strip apart" aria-label="Before anything is taken apart"><p><strong>Before anything is taken apart</strong></p>
    <p>${last ? (last.decision === "authorised" ? "Agreed with the customer." : "The customer declined.") : "Nothing is agreed with the customer yet."} ${photos > 0 ? `Damage from before: ${count(photos, "photo")}.` : ""}</p>
    <div class="stack"><a class="button wide" data-agree href=${jobHref(view.card.job_id, "agreed")}>${last ? "Agree it anew" : "Agree the work"}</a>
      ${photoButton(stage, view, null, "Photo of damage from before", "damage_before")}</div></section>`;
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
