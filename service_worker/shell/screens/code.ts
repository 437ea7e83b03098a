/** What the control shows, read before anything is unplugged: flashes, words, dark, or a steady light. */
import { html, nothing, type TemplateResult } from "lit-html";
import { answerButtons } from "../components/answers";
import { numberPad, valueOf } from "../components/number_pad";
import { photoButton } from "../components/photo";
import { savedStrip } from "../components/strips";
import type { Draft, JobView } from "../core_types";
import type { Check } from "../generated/trade";
import { sketchFigure } from "../sketches/figure";
import { COULD_NOT, couldNotWords } from "../words";
import { answerDraft, replacing } from "./drafts";
import type { Asking } from "./question";
import { codeWords } from "./record_read";
import type { Screen, Stage } from "./screen";

type Shown = "flashes" | "text" | "dark" | "steady";

const SHOWN: { id: Shown; words: string }[] = [
  { id: "flashes", words: "It flashes" },
  { id: "text", words: "It shows letters or figures" },
  { id: "steady", words: "A steady light" },
  { id: "dark", words: "Dark: no light at all" },
];
const MOST_FLASHES = 30;

export function codeScreen(stage: Stage, view: JobView, check: Check, asking: Asking): Screen {
  const step = stage.local<"ask" | "count" | "text" | "meaning" | "reasons">(`code ${check.id}`, "ask");
  const meaning = stage.local("code meaning", "");
  const seen = stage.local<{ shown: Shown; flashes?: number; text?: string }>("code seen", { shown: "flashes" });
  const save = async (draft: Draft, words: string): Promise<void> => {
    if (await stage.act(view, [draft], words)) asking.after();
  };
  const read = (shown: Shown, more: { flashes?: number; text?: string } = {}): void => {
    seen.value = { shown, ...more };
    step.value = "meaning";
  };
  const keep = (): void => {
    const body = { ...seen.value, ...(meaning.value.trim() ? { meaning_words: meaning.value.trim() } : {}) };
    const mine = view.record.codes.filter((code) => code.by.person_id === stage.core.person.value?.id);
    void save({ kind: "code_read", body, ...replacing(mine.map((code) => code.by.event_id)) }, `code: ${codeWords({ flashes: null, text: null, meaning_words: null, ...seen.value })}`);
  };
  const title = check.title;
  if (step.value === "count") return { title, key: "code count", body: counting(stage, (flashes) => read("flashes", { flashes }), () => (step.value = "ask")) };
  if (step.value === "text") return { title, key: "code text", body: spelling(stage, (text) => read("text", { text }), () => (step.value = "ask")) };
  if (step.value === "meaning") return { title, key: "code meaning", body: meant(stage, codeWords({ flashes: null, text: null, meaning_words: null, ...seen.value }), keep, () => (step.value = "ask")) };
  if (step.value === "reasons") {
    const me = stage.core.person.value?.id ?? "";
    return { title, key: "code reasons", body: html`<h1 tabindex="-1">Could not read it. Why?</h1>
      <section class="dock">${answerButtons(COULD_NOT.map(([id, words]) => ({ id, words })), (reason) => void save(answerDraft(view, me, check.id, { could_not: reason }), couldNotWords(reason)), stage.busy.value)}
      <button class="button wide quiet" type="button" @click=${() => (step.value = "ask")}>Back to the answers</button></section>` };
  }
  const tap = (id: string): void => {
    if (id === "flashes") step.value = "count";
    else if (id === "text") step.value = "text";
    else {
      seen.value = { shown: id as Shown };
      keep();
    }
  };
  return { title, key: "code", body: asked(stage, view, check, asking, tap, () => (step.value = "reasons")) };
}

function asked(stage: Stage, view: JobView, check: Check, asking: Asking, tap: (id: string) => void, couldNot: () => void): TemplateResult {
  const last = view.record.codes.at(-1);
  return html`${savedStrip(stage, view)}
    <article class="question" data-check=${check.id}>
      <p class="above">${asking.above}</p>
      <h1 class="question-words" tabindex="-1">${check.question}</h1>
      <p class="strip" data-kind="caution"><strong>Before you unplug anything.</strong> Unplugging may wipe it. ${check.caution}</p>
      ${last ? html`<p class="strip recorded">Recorded: <strong>${codeWords(last)}</strong></p>` : nothing}
      <div class="looking">${sketchFigure(check.sketch, check.title)}<ol class="how">${check.how.map((line) => html`<li>${line}</li>`)}</ol></div>
      ${photoButton(stage, view, check.id, check.photo_words ?? "Photo of the control")}
    </article>
    <section class="dock" aria-label="Answers">
      ${answerButtons(SHOWN, tap, stage.busy.value)}
      <button class="button wide quiet" type="button" data-could-not @click=${couldNot}>Could not read it</button>
    </section>`;
}

/** The meaning stands on the label in front of the technician; we have no list of makers' codes. */
function meant(stage: Stage, shown: string, onSave: () => void, onCancel: () => void): TemplateResult {
  const meaning = stage.local("code meaning", "");
  return html`<h1 tabindex="-1">What does the heater's own label say that means?</h1>
    <p>Read: <strong>${shown}</strong></p>
    <div class="field"><label for="meaning">In the label's words</label>
      <input id="meaning" autocomplete="off" maxlength="200" .value=${meaning.value} @input=${(event: Event) => (meaning.value = (event.target as HTMLInputElement).value)} /></div>
    <div class="dock"><button class="button wide tall" type="button" data-lamp data-code-save ?disabled=${stage.busy.value} @click=${onSave}>${meaning.value.trim() === "" ? "No label: save as read" : "Save"}</button>
      <button class="button wide quiet" type="button" @click=${onCancel}>Read it again</button></div>`;
}

function counting(stage: Stage, onDone: (flashes: number) => void, onCancel: () => void): TemplateResult {
  const typed = stage.local("code flashes", "");
  const value = valueOf(typed.value);
  return html`<h1 class="out-of-sight" tabindex="-1">How many flashes?</h1>
    ${numberPad({
      words: "How many flashes before the long pause?", unit: "flashes", typed: typed.value, signed: false, whole: true, beside: [],
      warning: value !== null && value > MOST_FLASHES ? `More than ${MOST_FLASHES}? Watch one round again.` : null,
      onTyped: (text) => (typed.value = text), onDone, onCancel,
    })}`;
}

function spelling(stage: Stage, onDone: (text: string) => void, onCancel: () => void): TemplateResult {
  const typed = stage.local("code text", "");
  return html`<h1 tabindex="-1">What does it show?</h1>
    <div class="field"><label for="code-text">Exactly as it stands there</label>
      <input id="code-text" class="code-input" autocapitalize="characters" autocomplete="off" spellcheck="false" maxlength="40" .value=${typed.value}
        @input=${(event: Event) => (typed.value = (event.target as HTMLInputElement).value)} /></div>
    <div class="pair"><button class="button" type="button" @click=${onCancel}>Leave it</button>
      <button class="button" type="button" data-lamp data-code-done ?disabled=${typed.value.trim() === ""} @click=${() => onDone(typed.value.trim())}>Done</button></div>`;
}
