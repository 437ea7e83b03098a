/** What the control shows, read before anything is unplugged: flashes, words, dark, or a steady light; and what this model's own table says of it. */
import { html, nothing, type TemplateResult } from "lit-html";
import { answerButtons } from "../components/answers";
import { photoButton } from "../components/photo";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import type { Check } from "../generated/trade";
import type { ModelCode } from "../core_types";
import { groupsText } from "./blink_groups";
import { blinksBody } from "./blinks";
import { reasonsScreen } from "./could_not";
import { replacing } from "./drafts";
import { heaterDraft, sheetTold } from "./heater";
import { modelAnswers } from "./models";
import { worded } from "./later";
import { codeIn, heaterWith, sheetName, sheetOf, sheetsFor } from "./heater_read";
import { askedInOrder, couldNotButton, type Asking } from "./question";
import { codeWords } from "./timeline";
import type { Screen, Stage } from "./screen";

interface Seen {
  shown: "flashes" | "text" | "dark" | "steady";
  flashes?: number;
  flash_groups?: string;
  text?: string;
}

const SHOWN: { id: Seen["shown"]; words: string }[] = [
  { id: "flashes", words: "It flashes" },
  { id: "text", words: "It shows letters or figures" },
  { id: "steady", words: "A steady light" },
  { id: "dark", words: "Dark: no light at all" },
];

export function codeScreen(stage: Stage, view: JobView, check: Check, asking: Asking): Screen {
  const step = stage.typed<"ask" | "flashes" | "text" | "table" | "meaning">("code step", "ask");
  const seen = stage.typed<Seen>("code seen", { shown: "dark" });
  if (stage.local(`could-not ${check.id}`, false).value) return reasonsScreen(stage, view, check, asking, []);
  const see = (now: Seen): void => {
    seen.value = now;
    step.value = lineOf(stage, view, now) || sheetOf(stage, view) === null && sheetsFor(stage, view).length > 0 ? "table" : "meaning";
  };
  const keep = async (meaning: string, model_sheet_id?: string): Promise<void> => {
    const mine = view.record.codes.filter((code) => code.by.person_id === stage.core.person.value?.id);
    const body = { ...seen.value, ...(meaning ? { meaning_words: meaning } : {}), ...(model_sheet_id ? { model_sheet_id } : {}) };
    const draft = { kind: "code_read", schema: 2, body, ...replacing(mine.map((code) => code.by.event_id)) };
    if (await stage.act(view, [draft], `code: ${seenWords(seen.value)}`)) asking.after();
  };
  const tap = (id: string): void => {
    if (id === "flashes" || id === "text") {
      step.value = id;
      return;
    }
    seen.value = { shown: id as Seen["shown"] };
    void keep("");
  };
  const again = (): void => {
    step.value = "ask";
  };
  const bodies = {
    ask: () => asked(stage, view, check, asking, tap),
    flashes: () => blinksBody(stage, (groups) => see(flashesSeen(groups)), again),
    table: () => fromTable(stage, view, seen.value, (meaning, sheet) => void keep(meaning, sheet), () => (step.value = "meaning")),
    text: () => typing(stage, { ask: "What does it show?", label: "Exactly as it stands there", big: true, none: null }, (text) => see({ shown: "text", text }), again),
    meaning: () => typing(stage, { ask: "What does the heater's own label say that means?", label: `${seenWords(seen.value)}: in the label's words`, big: false, none: "No label: save as read" }, (words) => void keep(words), again),
  };
  return { title: check.title, key: `code ${step.value}`, body: bodies[step.value]() };
}

/** One group is a count; several are a code of groups. */
function flashesSeen(groups: number[]): Seen {
  const [first] = groups;
  return groups.length === 1 && first !== undefined ? { shown: "flashes", flashes: first } : { shown: "flashes", flash_groups: groupsText(groups) };
}

function lineOf(stage: Stage, view: JobView, seen: Seen): ModelCode | null {
  const groups = seen.flash_groups ?? (seen.flashes === undefined ? undefined : String(seen.flashes));
  return codeIn(sheetOf(stage, view), { ...(groups !== undefined ? { groups } : {}), ...(seen.text !== undefined ? { text: seen.text } : {}) });
}

/** The meaning from this model's own table; where the model is not known yet, it can be chosen here. The label on the heater may say otherwise. */
function fromTable(stage: Stage, view: JobView, seen: Seen, keep: (meaning: string, sheet: string) => void, otherwise: () => void): TemplateResult {
  const sheet = sheetOf(stage, view);
  const line = lineOf(stage, view, seen);
  const other = stage.local("code other model", false);
  const parts = (line?.could_be ?? []).map((part) => [...(view.procedure?.chain ?? []), ...(view.procedure?.parts ?? [])].find((one) => one.id === part)?.words ?? part.replaceAll("_", " "));
  const choose = (id: string): void => {
    const chosen = sheetsFor(stage, view).find((one) => one.model_sheet_id === id);
    if (!chosen) return;
    other.value = false;
    void stage.attempt(async () => void (await stage.core.act(view.card.job_id, [heaterDraft(view, heaterWith(stage, view, chosen), sheetTold(chosen))])));
  };
  if (!sheet || other.value) {
    return html`<h1 tabindex="-1">${capital(seenWords(seen))}. Which model is it?</h1><p class="soft">The company keeps the code tables of these. Chosen once, it counts for the whole job.</p>
      <section class="dock" aria-label="Models">${answerButtons(modelAnswers(stage, view, sheet), choose, stage.busy.value)}
        <button class="button wide quiet" type="button" data-no-model @click=${otherwise}>None of these: the label's own words</button></section>`;
  }
  return html`<h1 tabindex="-1">${capital(seenWords(seen))}${line ? `: ${line.meaning_words}` : " is not in this model's table"}</h1>
    <p class="soft">From the company's sheet of ${sheetName(sheet)}, typed by the office from the maker's paper. Compare it with the label on the heater.</p>
    ${parts.length > 0 ? html`<p>Could be open: <strong>${parts.join(", ")}</strong></p>` : nothing}
    <div class="dock">${line ? html`<button class="button wide tall" type="button" data-lamp data-code-save ?disabled=${stage.busy.value} @click=${() => keep(line.meaning_words, sheet.model_sheet_id)}>Save it with this meaning</button>` : nothing}
      <button class="button wide quiet" type="button" data-otherwise @click=${otherwise}>${line ? "The label says otherwise" : "Type what the label says"}</button>
      ${sheetsFor(stage, view).length > 1 ? html`<button class="button wide quiet" type="button" data-other-model @click=${() => (other.value = true)}>It is another model</button>` : nothing}</div>`;
}

function seenWords(seen: Seen): string {
  return codeWords({ flashes: null, flash_groups: null, text: null, meaning_words: null, model_sheet_id: null, ...seen });
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function asked(stage: Stage, view: JobView, check: Check, asking: Asking, tap: (id: string) => void): TemplateResult {
  const last = view.record.codes.at(-1);
  const seen = new Set<string>();
  return html`${savedStrip(stage, view)}
    ${askedInOrder(check, asking, seen, {
      strips: () => html`${last ? html`<p class="strip recorded">Recorded: <strong>${codeWords(last)}</strong></p>` : nothing}
        <p class="strip" data-kind="caution"><strong>Before you unplug anything.</strong> Unplugging may wipe it. ${worded(check.caution ?? "", seen)}</p>`,
      rest: html`${photoButton(stage, view, "check", { check: check.id, words: check.photo_words })}`,
      answers: html`<section class="dock" aria-label="Answers" data-stick>${answerButtons(SHOWN, tap, stage.busy.value)} ${couldNotButton(stage, check)}</section>`,
    })}`;
}

/** We have no list of makers' codes: the meaning stands on the label in front of the technician. */
function typing(stage: Stage, what: { ask: string; label: string; big: boolean; none: string | null }, onDone: (words: string) => void, onCancel: () => void): TemplateResult {
  const typed = stage.typed(what.ask, "");
  const words = typed.value.trim();
  return html`<h1 tabindex="-1">${what.ask}</h1>
    <div class="field"><label for="meaning">${what.label}</label>
      <input id="meaning" class=${what.big ? "code-input" : ""} autocomplete="off" spellcheck="false" maxlength="200" .value=${typed.value}
        @input=${(event: Event) => (typed.value = (event.target as HTMLInputElement).value)} /></div>
    <div class="dock"><button class="button wide tall" type="button" data-lamp data-code-save ?disabled=${stage.busy.value || (words === "" && !what.none)} @click=${() => onDone(words)}>${words === "" ? (what.none ?? "Save") : "Save"}</button>
      <button class="button wide quiet" type="button" @click=${onCancel}>Read it again</button></div>`;
}
