/** The proof that fits the cause: what the rules ask for, the same figure before and after, the closing looks, and what is still missing, in words. */
import type { Signal } from "@preact/signals-core";
import { html, nothing, type TemplateResult } from "lit-html";
import { answerButtons } from "../components/answers";
import { figureRow } from "../components/figure_row";
import { beyondAnyMeter, numberPad, rangeWarning, valueOf, type Pad } from "../components/number_pad";
import { photoButton } from "../components/photo";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import type { ProofDue, ProofJudgement } from "../generated/trade";
import { jobHref } from "../router";
import { numberWords, unitWords } from "../words";
import { askedOfJob } from "./asked";
import { worded } from "./later";
import { missingList } from "./leads";
import { wordsField } from "./note";
import { overInRoom } from "./proof_co";
import { noRulesLine } from "./rule";
import type { Screen, Stage } from "./screen";
import { timerButton } from "./timers";

type FieldId = "minutes" | "restarts" | "before_value" | "after_value" | "co_room_ppm" | "co_air_free_ppm";

interface ProofField {
  id: FieldId;
  words: string;
  unit: string;
  low: number | null;
  high: number | null;
  aside: string;
}

type Typed = Partial<{ [id in FieldId]: number }>;

/** Of how the figures stand on the screen: everything that the run will say. */
interface Run extends Typed {
  quantity?: string;
  fans_on?: boolean;
  looks_done: string[];
}

export function proofScreen(stage: Stage, view: JobView): Screen {
  const typed = stage.typed<Typed>("proof", {});
  const open = stage.typed<Pad<FieldId> | null>("proof pad", null);
  const looks = stage.typed<readonly string[]>("proof looks", []);
  const fans = stage.typed("proof fans", false);
  const words = stage.typed("proof words", "");
  const fault = stage.local<string | null>("proof fault", null);
  const plain = askedOfJob<ProofDue>(stage, view, "proof_due");
  const due = plain.answer;
  const fields = fieldsOf(due, view);
  const field = fields.find(({ id }) => id === open.value?.field);
  if (field) {
    const back = (): void => {
      open.value = null; // the list is there again, at its top
      document.querySelector(`[data-figure="${field.id}"]`)?.scrollIntoView({ block: "center" });
    };
    return padScreen(field, open, (value) => {
      typed.value = { ...typed.value, [field.id]: value };
      back();
    }, back);
  }
  const before = typed.value.before_value ?? due?.before ?? undefined;
  const run: Run = {
    ...typed.value, ...(due?.quantity && before !== undefined ? { before_value: before } : {}), ...(due?.quantity && (before !== undefined || typed.value.after_value !== undefined) ? { quantity: due.quantity } : {}),
    ...(fans.value ? { fans_on: true } : {}), looks_done: closingIds(view).filter((id) => looks.value.includes(id)),
  };
  const begun = run.minutes !== undefined && run.restarts !== undefined;
  const missing = stage.local<readonly string[]>("proof missing", []);
  const judged = judgement(stage, view, run, missing);
  const over = overInRoom(stage, view, run.co_room_ppm);
  const flip = (id: string): void => {
    const others = looks.value.filter((one) => one !== id);
    looks.value = others.length < looks.value.length ? others : [...others, id];
  };
  const save = async (passed: boolean): Promise<void> => {
    if (passed && judged?.passed === false && words.value.trim() === "") {
      fault.value = `The figures say otherwise: ${judged.why_words} Say in a word why it held all the same.`;
      return;
    }
    const body = { passed, ...run, ...(words.value.trim() ? { words: words.value.trim() } : {}) };
    if (await stage.act(view, [{ kind: "proof_run", schema: 2, body }], `hot run: ${passed ? "it held" : "it did not hold"}`)) stage.go(jobHref(view.card.job_id, passed ? "close" : "walk"));
  };
  const firing = view.advice?.may_fire.missing ?? [];
  const seen = new Set<string>();
  return {
    title: "The hot run", key: "proof",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">The hot run</h1>
      ${over ? over.strip : nothing}
      ${due ? html`<p>${worded(due.words, seen)}</p>${due.how.length > 0 ? html`<ol class="how">${due.how.map((line) => html`<li>${worded(line, seen)}</li>`)}</ol>` : nothing}` : html`<p class="soft">${plain.away ? "The same figure, same place, same instrument, as before the repair." : "Being read from the record…"}</p>`}
      ${firing.length > 0 ? html`<div class="strip" data-kind="caution"><p><strong>Before the burner runs</strong> this has to stand in the record:</p>${missingList(view, firing, ["proof"])}</div>` : nothing}
      ${due ? timerButton(stage, view, "Hot run", due.minutes) : nothing}
      <ul class="figures">${fields.map((one) => figureRow({ ...one, aside: one.aside }, one.id === "before_value" ? (before ?? null) : (typed.value[one.id] ?? null), () => (open.value = { field: one.id, text: String(typed.value[one.id] ?? "") })))}</ul>
      ${noRulesLine(stage)}
      ${lookList(view, due, looks.value, flip, fans.value, () => (fans.value = !fans.value))}
      ${photoButton(stage, view, "proof")}
      ${wordsField("proof-words", "A word about it", words)}
      ${begun && missing.value.length > 0 ? html`<div class="strip" data-missing><p><strong>Still missing for “proven”:</strong></p><ul class="plain">${missing.value.map((one) => html`<li>${one}</li>`)}</ul></div>` : nothing}
      ${fault.value ? html`<p class="strip" data-kind="bad" role="alert">${fault.value}</p>` : nothing}
      <section class="dock" aria-label="Answers">
        ${begun && !over && judged && judged.passed !== null ? html`<p class="said">By your figures: <strong>${judged.why_words}</strong> You decide.</p>` : nothing}
        ${begun ? answerButtons([{ id: "passed", words: "It held", verdict: "good", barred: over?.barred ?? null }, { id: "failed", words: "It did not hold", verdict: "bad" }], (id) => void save(id === "passed"), stage.busy.value)
        : html`<p class="soft">Minutes and restarts first; then say whether it held.</p>`}
      </section>`,
  };
}

/** What the rules make of the run as it is being noted; and what they still miss. */
function judgement(stage: Stage, view: JobView, run: Run, missing: { value: readonly string[] }): ProofJudgement | null {
  if (run.minutes === undefined || run.restarts === undefined) return null;
  const due = askedOfJob<ProofDue>(stage, view, "proof_due", { run }).answer;
  if (due && due.missing !== missing.value) queueMicrotask(() => (missing.value = due.missing));
  return askedOfJob<ProofJudgement>(stage, view, "proof_holds", { run, ladder: stage.core.company.value?.settings.co_ladder ?? null }).answer;
}

/** Ranges that warn: trade.md section 13 (common practice, no source). A figure of the proof has the range of its own field. */
function fieldsOf(due: ProofDue | null, view: JobView): ProofField[] {
  const asRead = view.procedure?.checks.flatMap((check) => check.readings).find((one) => one.quantity === due?.quantity);
  const range = { low: asRead?.hard_low ?? null, high: asRead?.hard_high ?? null };
  const same = due?.quantity ? [
    { id: "before_value", words: `${due.quantity_words}, before`, unit: unitWords(due.unit ?? ""), ...range, aside: due.before === null ? "if measured" : due.before_state ?? "from the record" },
    { id: "after_value", words: `${due.quantity_words}, now`, unit: unitWords(due.unit ?? ""), ...range, aside: due.limit === null ? "" : `typed figure ${numberWords(due.limit)}` },
  ] as const : [];
  return [
    { id: "minutes", words: "Minutes it ran hot", unit: "min", low: 1, high: 240, aside: due ? `${due.minutes} wanted` : "" },
    { id: "restarts", words: "Restarts without a fault", unit: "restarts", low: 0, high: 20, aside: due ? `${due.restarts} wanted` : "" },
    ...same,
    { id: "co_room_ppm", words: "CO in the room", unit: "ppm", low: 0, high: 10_000, aside: due?.looks.includes("co_again") ? "wanted" : "if measured" },
    { id: "co_air_free_ppm", words: "CO in the vent, air-free", unit: "ppm", low: 0, high: 10_000, aside: "if measured" },
  ];
}

function closingIds(view: JobView): string[] {
  return (view.procedure?.closing_looks ?? []).map((look) => look.id);
}

/** The compulsory ones first; the others stay within reach. */
function lookList(view: JobView, due: ProofDue | null, done: readonly string[], flip: (id: string) => void, fans: boolean, flipFans: () => void): TemplateResult {
  const closing = view.procedure?.closing_looks ?? [];
  const must = closing.filter((look) => due?.looks.includes(look.id));
  const rest = closing.filter((look) => !must.includes(look));
  const box = (id: string, words: string, on: boolean, onFlip: () => void): TemplateResult => html`<label class="look"><input type="checkbox" data-look=${id} .checked=${on} @change=${onFlip} /><span>${words}</span></label>`;
  const boxes = (looks: typeof closing): TemplateResult[] => looks.map((look) => box(look.id, look.words, done.includes(look.id), () => flip(look.id)));
  return html`<fieldset class="looks"><legend>Looked at before leaving</legend>
      ${due?.fans_on ? box("fans", "Every exhaust fan and the dryer were on", fans, flipFans) : nothing}${boxes(must)}</fieldset>
    ${rest.length > 0 ? html`<details class="more"><summary>Other looks (${rest.length})</summary><fieldset class="looks"><legend class="out-of-sight">Other looks</legend>${boxes(rest)}</fieldset></details>` : nothing}`;
}

function padScreen(field: ProofField, open: Signal<Pad<FieldId> | null>, onDone: (value: number) => void, onCancel: () => void): Screen {
  const typed = open.value?.text ?? "";
  const figure = field.id === "before_value" || field.id === "after_value";
  return { title: field.words, key: `proof ${field.id}`, back: onCancel, body: html`<h1 class="out-of-sight" tabindex="-1">${field.words}</h1>${numberPad({
    words: field.words, unit: field.unit, typed, signed: figure, whole: field.id === "restarts", beside: [],
    warning: rangeWarning(valueOf(typed), field.low, field.high, field.unit), beyond: beyondAnyMeter(valueOf(typed), field.low, field.high, field.unit), onTyped: (text) => (open.value = { field: field.id, text }), onDone, onCancel,
  })}` };
}
