/** The heater: plate and sheet photographed, its model chosen from the company's sheets or typed. Nothing of it is asked before a check needs it. */
import { html, nothing, type TemplateResult } from "lit-html";
import { answerButtons, type Answer } from "../components/answers";
import { photoButton } from "../components/photo";
import { photoPicture } from "../components/photo_picture";
import { ownWords, photoOf } from "../components/photo_words";
import { savedStrip } from "../components/strips";
import type { Draft, JobView, KnownHeater, ModelSheet } from "../core_types";
import { jobHref } from "../router";
import { heaterName, heaterOf, heatersOfKind, isInDoubt, limitWords, sheetName, sheetOf, sheetsFor, ventWords } from "./heater_read";
import { modelAnswers } from "./models";
import type { Screen, Stage } from "./screen";

type Told = Partial<Omit<KnownHeater, "appliance_id" | "kind">>;

const FUELS: [id: string, words: string][] = [["natural_gas", "Natural gas"], ["propane", "LP (propane)"]];
const ABOUT: ReadonlySet<string | null> = new Set(["plate", "sheet", "part_label"]);

export function heaterScreen(stage: Stage, view: JobView): Screen {
  const typing = stage.typed("heater typing", false);
  const heater = heaterOf(view);
  const save = async (told: Told & { appliance_id?: string }, words: string): Promise<void> => {
    if (await stage.act(view, [heaterDraft(view, heater, told)], words)) typing.value = false;
  };
  if (typing.value) return typedScreen(stage, heater, save, () => (typing.value = false));
  const sheets = sheetsFor(stage, view);
  const sheet = sheetOf(stage, view);
  const alike = heatersOfKind(view).filter((one) => one !== heater);
  const others = view.facts.heaters.filter((one) => one !== heater && !alike.includes(one));
  const inDoubt = isInDoubt(view);
  return {
    title: "The heater", key: "heater",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">The heater</h1>
      ${heater ? html`<p class="strip recorded"><strong>${heaterName(heater)}</strong>${more(heater)}</p>` : html`<p class="soft">Photograph plate and sheet; the office reads the rest from them.</p>`}
      ${inDoubt ? whichOne(alike, "Which of these is it?", (one) => void save(one, `heater: ${heaterName(one)}`), stage) : nothing}
      ${view.card.state === "open" || view.card.state === "booked" ? html`<div class="stack">
        ${(["plate", "sheet", "part_label"] as const).map((about) => photoButton(stage, view, about, { then: "words" }))}</div>` : nothing}
      ${photos(stage, view)}
      ${sheet ? sheetCard(sheetName(sheet), [...sheet.limits.map((limit) => limitWords(view, limit)), ...ventWords(view, sheet)], sheet.words) : nothing}
      ${!inDoubt && sheets.some((one) => one !== sheet) ? models(sheet, modelAnswers(stage, view, sheet), (id) => {
        const chosen = sheets.find((one) => one.model_sheet_id === id);
        if (chosen) void save(sheetTold(chosen), `heater: ${sheetName(chosen)}`);
      }, stage) : nothing}
      <button class="button wide" type="button" data-heater-type @click=${() => (typing.value = true)}>${heater ? "Correct it, or add to it" : "Another one: type what the plate says"}</button>
      ${!inDoubt && alike.length > 0 ? whichOne(alike, "Or is it this one?", (one) => void save(one, `heater: ${heaterName(one)}`), stage) : nothing}
      ${others.length > 0 ? html`<h2>Also at this address</h2><ul class="plain">${others.map((one) => html`<li>${heaterName(one)}${more(one)}</li>`)}</ul>` : nothing}
      <div class="dock"><a class="button wide" href=${jobHref(view.card.job_id, "chain")}>The chain of safeties</a></div>`,
  };
}

/** Folded away where the model is known. */
function models(known: ModelSheet | null, answers: Answer[], onPick: (id: string) => void, stage: Stage): TemplateResult {
  const list = html`<p class="soft">Models of which the company keeps the maker's figures.</p>${answerButtons(answers, onPick, stage.busy.value)}`;
  return known ? html`<details class="more" data-models><summary>Another model?</summary>${list}</details>` : html`<section aria-label="Models"><h2>Is it one of these?</h2>${list}</section>`;
}

/** Naming one is describing it again in this job. */
function whichOne(heaters: readonly KnownHeater[], words: string, onPick: (one: KnownHeater) => void, stage: Stage): TemplateResult {
  return html`<section data-which aria-label=${words}><h2>${words}</h2><p class="soft">More than one of this kind stands at this address.</p>
    ${answerButtons(heaters.map((one) => ({ id: one.appliance_id, words: `${heaterName(one)}${more(one)}` })), (id) => {
      const chosen = heaters.find((one) => one.appliance_id === id);
      if (chosen) onPick(chosen);
    }, stage.busy.value)}</section>`;
}

function more(heater: KnownHeater): string {
  const fuel = FUELS.find(([id]) => id === heater.fuel)?.[1];
  const input = heater.input_btu_h === null ? null : `${String(heater.input_btu_h).replace(/\B(?=(\d{3})+$)/g, ",")} Btu/h`;
  const words = [heater.serial_words ? `serial ${heater.serial_words}` : null, fuel, input, heater.location_words].filter(Boolean).join(", ");
  return words ? `. ${words}` : "";
}

function photos(stage: Stage, view: JobView): TemplateResult | typeof nothing {
  const taken = view.record.photos.filter((photo) => ABOUT.has(photo.about));
  if (taken.length === 0) return nothing;
  return html`<ul class="thumbs">${taken.map((photo) => html`<li>${photoPicture(stage, photo.sha256, `Photo: ${photoOf(view, photo)}`)}<span class="soft">${[photoOf(view, photo), ownWords(view, photo)].filter(Boolean).join(": ")}</span></li>`)}</ul>`;
}

function sheetCard(name: string, limits: string[], words: string | null): TemplateResult {
  return html`<section class="sheet-card" data-sheet aria-label="The company's sheet"><h2>From the company's sheet</h2>
    <p class="soft">${name}: typed by the office from the maker's own paper. The paper on this heater rules.</p>
    ${limits.length > 0 ? html`<ul class="plain">${limits.map((one) => html`<li>${one}</li>`)}</ul>` : html`<p class="soft">No figure is on it yet.</p>`}
    ${words ? html`<p>${words}</p>` : nothing}</section>`;
}

export function sheetTold({ maker_words, model_words, model_sheet_id }: ModelSheet): Told {
  return { maker_words, model_words, model_sheet_id };
}

/** The whole description each time: who reads only the last one misses nothing. A heater keeps its id from visit to visit; said in a job, it is that job's heater. */
export function heaterDraft(view: JobView, heater: KnownHeater | null, told: Told & { appliance_id?: string }): Draft {
  const known: KnownHeater = { appliance_id: heater?.appliance_id ?? crypto.randomUUID(), kind: view.procedure?.name ?? "", fuel: null, maker_words: null, model_words: null, serial_words: null, input_btu_h: null, location_words: null, model_sheet_id: null };
  const body = Object.fromEntries(Object.entries({ ...known, ...heater, ...told }).filter(([, value]) => value !== null && value !== ""));
  return { kind: "appliance_described", schema: 2, body };
}

const FIELDS: [id: "maker_words" | "model_words" | "serial_words" | "location_words", words: string][] = [
  ["maker_words", "Maker"], ["model_words", "Model"], ["serial_words", "Serial number"], ["location_words", "Where it stands"],
];

function typedScreen(stage: Stage, heater: KnownHeater | null, save: (told: Told, words: string) => Promise<void>, back: () => void): Screen {
  const told = stage.typed<Told>("heater told", {});
  const put = (more: Told): void => {
    told.value = { ...told.value, ...more };
  };
  const shown = (id: keyof Told): string => String(told.value[id] ?? heater?.[id] ?? "");
  const other = told.value.maker_words !== undefined || told.value.model_words !== undefined; // another name: the old sheet is not its own
  return {
    title: "The heater's plate", key: "heater typed",
    body: html`<h1 tabindex="-1">What the plate says</h1><p class="soft">Only what you want to type. The photo holds the rest.</p>
      ${FIELDS.map(([id, words]) => html`<div class="field"><label for=${id}>${words}</label>
        <input id=${id} autocomplete="off" spellcheck="false" maxlength="200" .value=${shown(id)} @input=${(event: Event) => put({ [id]: (event.target as HTMLInputElement).value.trim() })} /></div>`)}
      <div class="field"><label for="input_btu_h">Input, Btu/h</label>
        <input id="input_btu_h" inputmode="numeric" autocomplete="off" maxlength="7" .value=${shown("input_btu_h")} @input=${(event: Event) => put({ input_btu_h: wholeOf((event.target as HTMLInputElement).value) })} /></div>
      <fieldset class="chips"><legend>Fuel</legend>${FUELS.map(([id, words]) => html`<button class="chip" type="button" aria-pressed=${String(shown("fuel") === id)} @click=${() => put({ fuel: id })}>${words}</button>`)}</fieldset>
      <div class="dock"><button class="button wide tall" type="button" data-lamp data-heater-save ?disabled=${stage.busy.value || Object.keys(told.value).length === 0}
        @click=${() => void save({ ...told.value, ...(other ? { model_sheet_id: null } : {}) }, "the heater")}>Save it</button>
        <button class="button wide quiet" type="button" @click=${back}>Leave it</button></div>`,
  };
}

function wholeOf(text: string): number | null {
  const digits = text.replace(/\D/g, "");
  return digits === "" ? null : Number(digits);
}
