/** A note in one's own words; and what was left off and tagged. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { Signal } from "@preact/signals-core";
import { savedStrip } from "../components/strips";
import type { JobView, KnownHeater } from "../core_types";
import { jobHref } from "../router";
import { readingWords } from "../words";
import type { Screen, Stage } from "./screen";

/** What the rules find in the words as they are being typed. */
interface Mentioned {
  of: string;
  lines: readonly string[];
}

export function noteScreen(stage: Stage, view: JobView): Screen {
  const words = stage.typed("note", "");
  const seen = stage.local<Mentioned>("note mentions", { of: "", lines: [] });
  if (seen.value.of !== words.value) queueMicrotask(() => void look());
  const look = async (): Promise<void> => {
    const of = words.peek();
    if (seen.peek().of === of) return;
    seen.value = { of, lines: of.trim() === "" ? [] : seen.peek().lines };
    const lines = await stage.core.ask<string[]>("mentioned", { words: of }).catch(() => []);
    if (seen.peek().of === of) seen.value = { of, lines };
  };
  const save = async (): Promise<void> => {
    if (await stage.act(view, [{ kind: "note", body: { words: words.value.trim() } }], "note")) stage.go(jobHref(view.card.job_id, "record"));
  };
  return {
    title: "A note", key: "note",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">A note</h1>
      ${wordsField("note-words", "In your own words", words)}
      <div role="status">${seen.value.lines.map((line) => html`<p class="strip" data-kind="caution" data-mentions><strong>${line}</strong></p>`)}</div>
      <div class="dock"><button class="button wide tall" type="button" data-lamp ?disabled=${words.value.trim() === "" || stage.busy.value} @click=${() => void save()}>Save the note</button></div>`,
  };
}

const OFFERED: { [field: string]: string[] } = {
  what: ["The heater", "The gas to the heater", "The power to the heater"],
  why: ["Gas smell", "CO in the room", "Vent parted or blocked", "A safety that does not hold", "Flooded, burnt or cracked"],
  told: ["The customer", "The landlord", "The gas supplier", "Nobody was there"],
};

/** What, why, who was told: each can be tapped, each can be put in other words. */
export function leftOffScreen(stage: Stage, view: JobView): Screen {
  const what = stage.typed("left what", "");
  const why = stage.typed("left why", "");
  const told = stage.typed("left told", "");
  const heaters = view.facts.heaters.length > 1 ? view.facts.heaters.map(heaterName) : []; // of one, "The heater" says it
  const theirs = view.elsewhere.filter((one) => !one.other_heater).map(({ words }) => `${words} (another visit)`);
  const found = [...(view.advice?.unsafe ?? []), ...theirs].map((one) => one.replaceAll(",", "")); // a comma parts two reasons
  const co = lastRoomCo(view);
  const tried = stage.local("left tried", false);
  const missing = Object.entries({ what, why, told }).filter(([, words]) => words.value.trim() === "").map(([field]) => field);
  const asks = (field: string): boolean => tried.value && missing.includes(field);
  const save = async (): Promise<void> => {
    tried.value = true;
    if (missing[0]) return void document.getElementById(`left-${missing[0]}`)?.closest("fieldset")?.scrollIntoView();
    const body = { what_words: what.value.trim(), why_words: why.value.trim(), told_words: told.value.trim() };
    if (await stage.act(view, [{ kind: "left_off", body }], "left off and tagged")) stage.go(jobHref(view.card.job_id, "office-told"));
  };
  return {
    title: "Left off and tagged", key: "left-off",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">Left off and tagged</h1>
      <p class="strip" data-kind="caution">Off at the gas and at the power, with a tag on it that says why. Tell nobody that it may be used. Local rules say who else must know.</p>
      ${picked("what", "What is off", what, asks("what"), heaters)} ${picked("why", "Why", why, asks("why"), [...found, ...(co ? [`CO in the room ${readingWords(co.value, co.quantity)}`] : [])])} ${picked("told", "Who was told", told, asks("told"))}
      <p class="soft">The office is told by voice, on the next screen.</p>
      <div class="dock" ?data-stick=${missing.length === 0}><button class="button wide tall" type="button" data-lamp ?disabled=${stage.busy.value} @click=${() => void save()}>Save it</button></div>`,
  };
}

/** The room's figure, unless somebody who had it called it acceptable. */
function lastRoomCo({ record }: JobView): JobView["record"]["readings"][number] | null {
  const figure = record.readings.findLast((one) => one.quantity === "co_room_ppm") ?? null;
  const answer = record.checks.find(({ check }) => check === "co_room")?.entries.findLast((one) => one.current);
  return figure && answer?.outcome === "acceptable" && answer.by.lamport > figure.by.lamport ? null : figure;
}

function heaterName(heater: KnownHeater): string {
  return ["The heater", heater.location_words, heater.maker_words, heater.model_words].filter(Boolean).map((part) => (part as string).replaceAll(",", "")).join(" ");
}

function picked(field: string, label: string, words: Signal<string>, asked: boolean, more: readonly string[] = []): TemplateResult {
  const has = (one: string): boolean => words.value.split(", ").includes(one);
  const flip = (one: string): void => {
    const parts = words.value.split(", ").filter((part) => part !== "");
    words.value = (has(one) ? parts.filter((part) => part !== one) : [...parts, one]).join(", ");
  };
  return html`<fieldset class="chips"><legend>${label}</legend>
    ${asked ? html`<p class="strip" data-kind="bad" data-missing role="alert">Missing: ${label.toLowerCase()}. Tap it, or say it in words.</p>` : nothing}
    ${[...more, ...(OFFERED[field] ?? [])].map((one) => html`<button class="chip" type="button" aria-pressed=${String(has(one))} @click=${() => flip(one)}>${one}</button>`)}
    ${wordsField(`left-${field}`, `${label}, in words`, words)}
  </fieldset>`;
}

export function wordsField(id: string, label: string, words: Signal<string>): TemplateResult {
  return html`<div class="field"><label for=${id}>${label}</label>
    <textarea id=${id} rows="2" maxlength="2000" .value=${words.value} @input=${(event: Event) => (words.value = (event.target as HTMLTextAreaElement).value)}></textarea></div>`;
}

/** What is mostly written there, to tap: each tap adds to the words or takes it out again, and all of it can be edited. */
export function offered(id: string, label: string, words: Signal<string>, offers: readonly string[]): TemplateResult {
  const has = (one: string): boolean => words.value.split("; ").includes(one);
  const flip = (one: string): void => {
    const parts = words.value.split("; ").map((part) => part.trim()).filter((part) => part !== "");
    words.value = (has(one) ? parts.filter((part) => part !== one) : [...parts, one]).join("; ");
  };
  return html`<div class="offered">${offers.length > 0 ? html`<fieldset class="chips"><legend>${label}</legend>${offers.map((one) => html`<button class="chip" type="button" data-offer-words aria-pressed=${String(has(one))} @click=${() => flip(one)}>${one}</button>`)}</fieldset>` : nothing}
    ${wordsField(id, offers.length > 0 ? `${label}, in words` : label, words)}</div>`;
}
