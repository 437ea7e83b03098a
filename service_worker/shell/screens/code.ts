/** What the control shows, read before anything is unplugged: flashes, words, dark, or a steady light. */
import { html, nothing, type TemplateResult } from "lit-html";
import { answerButtons } from "../components/answers";
import { numberPad, rangeWarning, valueOf } from "../components/number_pad";
import { photoButton } from "../components/photo";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import type { Check } from "../generated/trade";
import { replacing } from "./drafts";
import { couldNotButton, howTo, reasonsScreen, type Asking } from "./question";
import { codeWords } from "./record_read";
import type { Screen, Stage } from "./screen";

interface Seen {
  shown: "flashes" | "text" | "dark" | "steady";
  flashes?: number;
  text?: string;
}

const SHOWN: { id: Seen["shown"]; words: string }[] = [
  { id: "flashes", words: "It flashes" },
  { id: "text", words: "It shows letters or figures" },
  { id: "steady", words: "A steady light" },
  { id: "dark", words: "Dark: no light at all" },
];
const MOST_FLASHES = 30;

export function codeScreen(stage: Stage, view: JobView, check: Check, asking: Asking): Screen {
  const step = stage.local<"ask" | "flashes" | "text" | "meaning">("code step", "ask");
  const seen = stage.local<Seen>("code seen", { shown: "dark" });
  if (stage.local(`could-not ${check.id}`, false).value) return reasonsScreen(stage, view, check, asking, []);
  const see = (now: Seen): void => {
    seen.value = now;
    step.value = "meaning";
  };
  const keep = async (meaning: string): Promise<void> => {
    const mine = view.record.codes.filter((code) => code.by.person_id === stage.core.person.value?.id);
    const body = { ...seen.value, ...(meaning ? { meaning_words: meaning } : {}) };
    const draft = { kind: "code_read", body, ...replacing(mine.map((code) => code.by.event_id)) };
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
    flashes: () => counting(stage, (flashes) => see({ shown: "flashes", flashes }), again),
    text: () => typing(stage, { ask: "What does it show?", label: "Exactly as it stands there", big: true, none: null }, (text) => see({ shown: "text", text }), again),
    meaning: () => typing(stage, { ask: "What does the heater's own label say that means?", label: `${seenWords(seen.value)}: in the label's words`, big: false, none: "No label: save as read" }, (words) => void keep(words), again),
  };
  return { title: check.title, key: `code ${step.value}`, body: bodies[step.value]() };
}

function seenWords(seen: Seen): string {
  return codeWords({ flashes: null, flash_groups: null, text: null, meaning_words: null, model_sheet_id: null, ...seen });
}

function asked(stage: Stage, view: JobView, check: Check, asking: Asking, tap: (id: string) => void): TemplateResult {
  const last = view.record.codes.at(-1);
  return html`${savedStrip(stage, view)}
    <article class="question" data-check=${check.id}>
      <p class="above">${asking.above}</p>
      <h1 class="question-words" tabindex="-1">${check.question}</h1>
      <p class="strip" data-kind="caution"><strong>Before you unplug anything.</strong> Unplugging may wipe it. ${check.caution}</p>
      ${last ? html`<p class="strip recorded">Recorded: <strong>${codeWords(last)}</strong></p>` : nothing}
      ${howTo(check)} ${photoButton(stage, view, check.id, check.photo_words ?? "Photo of the control")}
    </article>
    <section class="dock" aria-label="Answers">${answerButtons(SHOWN, tap, stage.busy.value)} ${couldNotButton(stage, check)}</section>`;
}

function counting(stage: Stage, onDone: (flashes: number) => void, onCancel: () => void): TemplateResult {
  const typed = stage.local("code flashes", "");
  return html`<h1 class="out-of-sight" tabindex="-1">How many flashes?</h1>
    ${numberPad({
      words: "How many flashes before the long pause?", unit: "flashes", typed: typed.value, signed: false, whole: true, beside: [],
      warning: rangeWarning(valueOf(typed.value), 1, MOST_FLASHES, "flashes"), onTyped: (text) => (typed.value = text), onDone, onCancel,
    })}`;
}

/** We have no list of makers' codes: the meaning stands on the label in front of the technician. */
function typing(stage: Stage, what: { ask: string; label: string; big: boolean; none: string | null }, onDone: (words: string) => void, onCancel: () => void): TemplateResult {
  const typed = stage.local(what.ask, "");
  const words = typed.value.trim();
  return html`<h1 tabindex="-1">${what.ask}</h1>
    <div class="field"><label for="meaning">${what.label}</label>
      <input id="meaning" class=${what.big ? "code-input" : ""} autocomplete="off" spellcheck="false" maxlength="200" .value=${typed.value}
        @input=${(event: Event) => (typed.value = (event.target as HTMLInputElement).value)} /></div>
    <div class="dock"><button class="button wide tall" type="button" data-lamp data-code-save ?disabled=${stage.busy.value || (words === "" && !what.none)} @click=${() => onDone(words)}>${words === "" ? (what.none ?? "Save") : "Save"}</button>
      <button class="button wide quiet" type="button" @click=${onCancel}>Read it again</button></div>`;
}
