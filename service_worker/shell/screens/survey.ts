/** The vent run, counted: bore, straight feet, elbows; the limits as the sheet in front of the technician gives them. */
import { html, nothing } from "lit-html";
import { numberPad, rangeWarning, valueOf } from "../components/number_pad";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import type { Check } from "../generated/trade";
import { sketchFigure } from "../sketches/figure";
import { replacing } from "./drafts";
import type { Asking } from "./question";
import { questionScreen } from "./question";
import type { Screen, Stage } from "./screen";

interface SurveyField {
  id: "nominal_in" | "straight_ft" | "elbows_90" | "elbows_45" | "limit_equivalent_ft" | "limit_elbows";
  words: string;
  unit: string;
  low: number;
  high: number;
  whole: boolean;
  optional: boolean;
}

// Ranges that warn: common practice, no source.
const FIELDS: SurveyField[] = [
  { id: "nominal_in", words: "Pipe, as printed on it", unit: "in.", low: 1.5, high: 6, whole: false, optional: false },
  { id: "straight_ft", words: "Straight pipe in all", unit: "ft", low: 0, high: 300, whole: false, optional: false },
  { id: "elbows_90", words: "Elbows of 90°", unit: "elbows", low: 0, high: 20, whole: true, optional: false },
  { id: "elbows_45", words: "Elbows of 45°", unit: "elbows", low: 0, high: 20, whole: true, optional: false },
  { id: "limit_equivalent_ft", words: "Most the sheet allows", unit: "ft", low: 1, high: 300, whole: false, optional: true },
  { id: "limit_elbows", words: "Most elbows the sheet allows", unit: "elbows", low: 0, high: 20, whole: true, optional: true },
];

type Typed = Partial<{ [id in SurveyField["id"]]: number }>;

/** Figures first, where the check has any outcomes beside them it is then answered like every other. */
export function surveyScreen(stage: Stage, view: JobView, check: Check, asking: Asking): Screen {
  const skip = stage.local(`survey skip ${check.id}`, view.record.vent_surveys.length > 0);
  if (skip.value && check.outcomes.length > 0) return questionScreen(stage, view, check, asking);
  const typed = stage.local<Typed>(`survey ${check.id}`, {});
  const open = stage.local<SurveyField | null>(`survey pad ${check.id}`, null);
  const field = open.value;
  if (field) return { title: check.title, key: `survey ${field.id}`, body: html`<h1 class="out-of-sight" tabindex="-1">${field.words}</h1>${pad(stage, field, (value) => {
    typed.value = { ...typed.value, [field.id]: value };
    open.value = null;
  }, () => (open.value = null))}` };
  const complete = FIELDS.every((one) => one.optional || typed.value[one.id] !== undefined);
  const save = async (): Promise<void> => {
    const mine = view.record.vent_surveys.filter((one) => one.by.person_id === stage.core.person.value?.id);
    const draft = { kind: "vent_surveyed", body: { ...typed.value }, ...replacing(mine.map((one) => one.by.event_id)) };
    if (await stage.act(view, [draft], "the vent run")) skip.value = true;
  };
  return {
    title: check.title, key: `survey ${check.id}`,
    body: html`${savedStrip(stage, view)}<article class="question" data-check=${check.id}>
      <p class="above">${asking.above}</p>
      <h1 class="question-words" tabindex="-1">${check.question}</h1>
      <div class="looking">${sketchFigure(check.sketch, check.title)}<ol class="how">${check.how.map((line) => html`<li>${line}</li>`)}</ol></div>
      <ul class="figures">${FIELDS.map((one) => html`<li><button class="figure" type="button" data-figure=${one.id} @click=${() => (open.value = one)}>
        <span class="figure-words">${one.words}${one.optional ? html` <span class="soft">(if you have the sheet)</span>` : nothing}</span>
        <span class="figure-value">${typed.value[one.id] === undefined ? html`<span class="soft">type it</span>` : html`<strong>${typed.value[one.id]}</strong> ${one.unit}`}</span></button></li>`)}</ul>
    </article>
    <section class="dock">
      <button class="button wide tall" type="button" data-lamp ?disabled=${!complete || stage.busy.value} @click=${() => void save()}>Save the run</button>
      ${check.outcomes.length > 0 ? html`<button class="button wide quiet" type="button" @click=${() => (skip.value = true)}>Answer without counting</button>` : nothing}
    </section>`,
  };
}

function pad(stage: Stage, field: SurveyField, onDone: (value: number) => void, onCancel: () => void): ReturnType<typeof numberPad> {
  const typing = stage.local(`survey typing ${field.id}`, "");
  return numberPad({
    words: field.words, unit: field.unit, typed: typing.value, signed: false, whole: field.whole, beside: [],
    warning: rangeWarning(valueOf(typing.value), field.low, field.high, field.unit),
    onTyped: (text) => (typing.value = text), onDone, onCancel,
  });
}
