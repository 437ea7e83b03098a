/** What was done about the cause: repairs, and parts fitted or taken out. */
import { html, nothing, type TemplateResult } from "lit-html";
import { answerButtons } from "../components/answers";
import { photoButton } from "../components/photo";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import { jobHref } from "../router";
import { count } from "../words";
import { offered, wordsField } from "./note";
import { causeWords, repairWords, verdictOf } from "./record_read";
import type { Screen, Stage } from "./screen";

export function repairScreen(stage: Stage, view: JobView): Screen {
  const { procedure, record } = view;
  const all = stage.local("all repairs", false);
  const words = stage.typed("repair words", "");
  const ours = procedure?.causes.find((cause) => cause.id === record.cause)?.repairs ?? [];
  const done = new Set(record.repairs.map(({ action }) => action));
  const next = ours.filter((id) => !done.has(id)); // what is noted already stands further down: a second tap is mostly a slip
  const rest = procedure?.repairs.map((repair) => repair.id).filter((id) => !next.includes(id)) ?? [];
  const parting = stage.typed("part form", false);
  if (parting.value) return partScreen(stage, view, () => (parting.value = false));
  const shown = all.value || ours.length === 0 ? [...next, ...rest] : next;
  const save = async (action: string): Promise<void> => {
    const more = words.value.trim() ? { words: words.value.trim() } : {};
    if (await stage.act(view, [{ kind: "repair_made", body: { action, ...more } }], `repair: ${repairWords(procedure, action)}`)) words.value = "";
  };
  const part = html`<button class="button wide" type="button" data-part @click=${() => (parting.value = true)}>A part, fitted or taken out</button>`;
  return {
    title: "The repair", key: `repair ${record.repairs.length}`,
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">${record.repairs.length > 0 ? "Anything else done?" : "What was done?"}</h1>
      ${record.cause ? html`<p class="soft">Cause: ${causeWords(procedure, record.cause)}</p>` : nothing}
      ${record.repairs.length > 0 ? html`<ul class="plain done">${record.repairs.map((one) => html`<li>${repairWords(procedure, one.action)}${one.words ? html`. <span class="soft">${one.words}</span>` : nothing}</li>`)}</ul>` : nothing}
      ${record.parts.length > 0 ? html`<ul class="plain done">${record.parts.map((one) => html`<li>${one.direction === "fitted" ? "Fitted" : "Taken out"}: ${one.count} × ${one.part_words}</li>`)}</ul>` : nothing}
      ${record.repairs.length === 0 ? beforeAnythingIsApart(stage, view) : part}
      <section aria-label="Repairs">${answerButtons([...shown.map((id) => ({ id, words: repairWords(procedure, id) })), { id: "other", words: "Something else" }], (id) => void save(id), stage.busy.value)}
        ${!all.value && ours.length > 0 && rest.length > 0 ? html`<button class="button wide quiet" type="button" @click=${() => (all.value = true)}>Other repairs (${rest.length})</button>` : nothing}
        ${wordsField("repair-words", "A word about it (goes with the next tap)", words)}</section>
      ${record.repairs.length === 0 ? part : nothing}
      ${record.repairs.length > 0 ? html`<div class="dock" data-stick><a class="button wide tall" data-lamp href=${jobHref(view.card.job_id, "proof")}>Record the hot run</a></div>` : nothing}`,
  };
}

/** Offered once, before the first repair: neither stands in the way. */
function beforeAnythingIsApart(stage: Stage, view: JobView): TemplateResult {
  const photos = view.record.photos.filter((photo) => photo.about === "damage_before").length;
  const last = view.record.agreements.at(-1);
  return html`<section class="strip apart" aria-label="Before anything is taken apart"><p><strong>Before anything is taken apart</strong></p>
    <p>${last ? (last.decision === "authorised" ? "Agreed with the customer." : "The customer declined.") : "Nothing is agreed with the customer yet."} ${photos > 0 ? `Damage from before: ${count(photos, "photo")}.` : ""}</p>
    <div class="stack"><a class="button wide" data-agree href=${jobHref(view.card.job_id, "agreed")}>${last ? "Agree it anew" : "Agree the work"}</a>
      ${photoButton(stage, view, "damage_before")}</div></section>`;
}

function partScreen(stage: Stage, view: JobView, back: () => void): Screen {
  const part = stage.typed("part words", "");
  const howMany = stage.typed("part count", 1);
  const direction = stage.typed<"fitted" | "removed">("part direction", "fitted");
  const save = async (): Promise<void> => {
    const body = { part_words: part.value.trim(), count: howMany.value, direction: direction.value };
    if (await stage.act(view, [{ kind: "part_used", body }], `part: ${body.part_words}`)) back();
  };
  return {
    title: "A part", key: "part",
    body: html`<h1 tabindex="-1">Which part?</h1>
      <div class="chips">${(["fitted", "removed"] as const).map((one) => html`<button class="chip" type="button" aria-pressed=${String(direction.value === one)} @click=${() => (direction.value = one)}>${one === "fitted" ? "Fitted" : "Taken out"}</button>`)}</div>
      ${offered("part-words", "The part", part, partsLikely(view))}
      <div class="stepper"><span>How many</span>
        <button class="button" type="button" aria-label="one fewer" @click=${() => (howMany.value = Math.max(1, howMany.value - 1))}>−</button>
        <strong class="stepper-count">${howMany.value}</strong>
        <button class="button" type="button" aria-label="one more" @click=${() => (howMany.value += 1)}>+</button></div>
      <div class="dock" ?data-stick=${part.value.trim() !== ""}><button class="button wide tall" type="button" data-lamp data-part-save ?disabled=${part.value.trim() === "" || stage.busy.value} @click=${() => void save()}>Save the part</button>
        <button class="button wide quiet" type="button" @click=${back}>Leave it</button></div>`,
  };
}

/** What was noted in this job already, for a part goes out where one goes in; then the parts at which something was found. */
function partsLikely({ record, procedure }: JobView): string[] {
  const bad = record.checks.filter(({ check, outcome }) => outcome && verdictOf(procedure, check, { outcome, could_not: null }) === "bad");
  const found = bad.map(({ check }) => procedure?.checks.find((one) => one.id === check)?.part);
  const named = procedure?.parts.filter(({ id }) => found.includes(id)).map(({ words }) => words) ?? [];
  return [...new Set([...record.parts.map((one) => one.part_words), ...named])];
}
