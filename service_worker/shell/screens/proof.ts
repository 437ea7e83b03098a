/** The hot run after the repair: minutes, restarts, the reading that convicted and how it is now, CO in the room, the closing looks. */
import { html, nothing } from "lit-html";
import { answerButtons } from "../components/answers";
import { figureRow } from "../components/figure_row";
import { numberPad, rangeWarning, valueOf } from "../components/number_pad";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import { jobHref } from "../router";
import { wordsField } from "./note";
import type { Screen, Stage } from "./screen";

interface ProofField {
  id: "minutes" | "restarts" | "suction_before_in_wc" | "suction_hot_in_wc" | "co_room_ppm";
  words: string;
  unit: string;
  low: number;
  high: number;
  optional: boolean;
}

// Ranges that warn: trade.md section 13 (common practice, no source).
const FIELDS: ProofField[] = [
  { id: "minutes", words: "Minutes it ran hot", unit: "min", low: 1, high: 240, optional: false },
  { id: "restarts", words: "Restarts without a fault", unit: "restarts", low: 0, high: 20, optional: false },
  { id: "suction_before_in_wc", words: "Suction before the repair", unit: "in. w.c.", low: -6, high: 6, optional: true },
  { id: "suction_hot_in_wc", words: "Suction now, hot", unit: "in. w.c.", low: -6, high: 6, optional: true },
  { id: "co_room_ppm", words: "CO in the room", unit: "ppm", low: 0, high: 1000, optional: true },
];

type Typed = Partial<{ [id in ProofField["id"]]: number }>;

export function proofScreen(stage: Stage, view: JobView): Screen {
  const before = view.record.readings.findLast((one) => one.quantity === "suction_in_wc")?.value;
  const typed = stage.local<Typed>("proof", before === undefined ? {} : { suction_before_in_wc: before });
  const open = stage.local<ProofField | null>("proof pad", null);
  const looks = stage.local<ReadonlySet<string>>("proof looks", new Set());
  const words = stage.local("proof words", "");
  const field = open.value;
  if (field) return padScreen(stage, field, (value) => {
    typed.value = { ...typed.value, [field.id]: value };
    open.value = null;
  }, () => (open.value = null));
  // suction is a figure of heaters with a blower: where no check reads it, the hot run does not ask for it
  const fields = view.procedure?.checks.some((one) => one.readings.some(({ quantity }) => quantity === "suction_in_wc")) === false ? FIELDS.filter((one) => one.unit !== "in. w.c.") : FIELDS;
  const complete = fields.every((one) => one.optional || typed.value[one.id] !== undefined);
  const missing = view.advice?.may_fire.missing ?? [];
  const closing = view.procedure?.closing_looks ?? [];
  const cause = view.procedure?.causes.find((one) => one.id === view.record.cause);
  const save = async (passed: boolean): Promise<void> => {
    const body = { passed, ...typed.value, looks_done: closing.map((look) => look.id).filter((id) => looks.value.has(id)), ...(words.value.trim() ? { words: words.value.trim() } : {}) };
    if (await stage.act(view, [{ kind: "proof_run", body }], `hot run: ${passed ? "it held" : "it did not hold"}`)) stage.go(jobHref(view.card.job_id, passed ? "close" : "walk"));
  };
  const flip = (id: string): void => {
    const now = new Set(looks.value);
    if (!now.delete(id)) now.add(id);
    looks.value = now;
  };
  return {
    title: "The hot run", key: "proof",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">The hot run</h1>
      <p class="soft">${cause?.proof_words ?? "The same figure, same place, same instrument, as before the repair. Exhaust fans and the dryer on."}</p>
      ${missing.length > 0 ? html`<div class="strip" data-kind="caution"><p><strong>Before the burner runs</strong> this has to stand in the record:</p><ul class="plain">${missing.map((one) => html`<li>${one}</li>`)}</ul></div>` : nothing}
      <ul class="figures">${fields.map((one) => figureRow({ ...one, aside: one.optional ? "if measured" : "" }, typed.value[one.id] ?? null, () => (open.value = one)))}</ul>
      ${closing.length > 0 ? html`<fieldset class="looks"><legend>Closing looks</legend>${closing.map((look) => html`<label class="look"><input type="checkbox" .checked=${looks.value.has(look.id)} @change=${() => flip(look.id)} /><span>${look.words}</span></label>`)}</fieldset>` : nothing}
      ${wordsField("proof-words", "A word about it", words)}
      <section class="dock" aria-label="Answers">
        ${complete ? answerButtons([{ id: "passed", words: "It held", verdict: "good" }, { id: "failed", words: "It did not hold", verdict: "bad" }], (id) => void save(id === "passed"), stage.busy.value)
        : html`<p class="soft">Minutes and restarts first; then say whether it held.</p>`}
      </section>`,
  };
}

function padScreen(stage: Stage, field: ProofField, onDone: (value: number) => void, onCancel: () => void): Screen {
  const typing = stage.local(`proof typing ${field.id}`, "");
  return { title: field.words, key: `proof ${field.id}`, body: html`<h1 class="out-of-sight" tabindex="-1">${field.words}</h1>${numberPad({
    words: field.words, unit: field.unit, typed: typing.value, signed: field.low < 0, whole: field.id === "restarts", beside: [],
    warning: rangeWarning(valueOf(typing.value), field.low, field.high, field.unit), onTyped: (text) => (typing.value = text), onDone, onCancel,
  })}` };
}
