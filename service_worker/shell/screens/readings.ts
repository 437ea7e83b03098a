/** The figures of a check: which are known, which are wanted, what the rule says to them. Kept on the screen until the answer is given. */
import type { Signal } from "@preact/signals-core";
import { html, nothing, type TemplateResult } from "lit-html";
import { figureRow, type Figure } from "../components/figure_row";
import { beyondAnyMeter, numberPad, rangeWarning, valueOf, type Pad } from "../components/number_pad";
import type { Draft, JobView } from "../core_types";
import type { Check, Proposal, ReadingField } from "../generated/trade";
import { numberWords, unitWords } from "../words";
import { readingDraft, sheetDraft } from "./drafts";
import { besideWords } from "./beside";
import { isInDoubt, limitFor, placeWords, type SheetFigure } from "./heater_read";
import { fittingFor, instrumentWords } from "./instruments";
import { lateBit } from "./later";
import { currentAnswers } from "./record_read";
import { proposeOutcome } from "./rule";
import type { Stage } from "./screen";
import { sentences } from "./stop";

export interface Numbers {
  pad: { words: string; body: TemplateResult; back(): void } | null;
  rows: TemplateResult | typeof nothing;
  /** the figure without which the answers make no sense yet; a run that is over already needs no more of them */
  wanted: { words: string; open(): void } | null;
  /** what was typed and is saved with the answer: "24 ppm", and the way to type it anew */
  typed: readonly { words: string; open(): void }[];
  /** what the rule makes of the figures, a sentence each: what it says, then where that stands */
  said: string[] | null;
  /** the outcome that it proposes is one that is unsafe: it is acted upon before anything is tapped */
  saidUnsafe: boolean;
  /** the rules are being asked what the figures say: no answer is taken meanwhile */
  pending: boolean;
  /** something was typed here and now */
  fresh: boolean;
  /** all that was typed is saved already */
  kept: boolean;
  /** why an answer cannot be given with these figures; null where it can */
  barred(outcome: string): string | null;
  drafts(): Draft[];
  answerMore(): { [key: string]: unknown };
}

type Typed = { [field: string]: Figure };

const SHEET_PLACES: [where: string, words: string][] = [["part_label", "the part's own label"], ["sheet", "the sheet"], ["plate", "the rating plate"]];

export function readingRows(stage: Stage, view: JobView, check: Check): Numbers {
  const me = stage.core.person.value?.id ?? "";
  const noted = unanswered(view, me, check);
  const typed = stage.typed<Typed>(`figures ${check.id}`, noted, () => judge());
  const open = stage.typed<Pad | null>(`pad ${check.id}`, null);
  const where = stage.typed(`where ${check.id}`, "part_label");
  const taken = stage.typed<{ [field: string]: SheetFigure }>(`taken ${check.id}`, {}); // from the company's sheet
  const said = stage.local<Proposal | null>(`said ${check.id}`, null);
  const pending = stage.local(`asked ${check.id}`, false);
  const kept = stage.typed<Typed>(`kept ${check.id}`, noted); // saved already, before the answer
  const fresh = stage.local(`fresh ${check.id}`, false); // typed here and now: what came back is saved by its answer alone
  const figureOf = (field: ReadingField): Figure | null => typed.value[keyOf(field)] ?? (field.from_sheet ? onSheet(view, field.quantity) : null);
  const nextWanted = (): ReadingField | undefined => check.readings.find((field) => !field.optional && figureOf(field) === null);
  const wanted = nextWanted();
  const openPad = (field: ReadingField): void => void (open.value = { field: keyOf(field), text: "" });
  const shut = (): void => void (open.value = null);
  const keep = (field: ReadingField, figure: Figure, from: SheetFigure | null): void => {
    typed.value = { ...typed.value, [keyOf(field)]: figure };
    const { [keyOf(field)]: _before, ...others } = taken.value;
    taken.value = from ? { ...others, [keyOf(field)]: from } : others;
    const next = nextWanted();
    if (next) openPad(next);
    else shut();
    fresh.value = true;
    judge();
  };
  const judge = (): void => {
    [said.value, pending.value] = [null, true];
    void proposeOutcome(stage, view, check, figureOf).then((proposed) => {
      [said.value, pending.value] = [proposed, false];
      if (isUnsafe(proposed) && fresh.value) void saveNow();
    });
  };
  const isUnsafe = (proposed: Proposal | null): boolean => check.outcomes.some((one) => one.id === proposed?.outcome && one.unsafe === true);
  const drafts = (): Draft[] => check.readings.flatMap((field) => {
    const figure = typed.value[keyOf(field)];
    if (typeof figure !== "number" || kept.value[keyOf(field)] === figure) return [];
    return [field.from_sheet ? sheetDraft(view, me, field.quantity, figure, where.value, taken.value[keyOf(field)]) : readingDraft(view, me, check.id, field, figure, stage.core.own.value.tapped_instruments)];
  });
  /** Whoever does first what it says may never come to the answer: the figure stands without it. */
  const saveNow = async (of: Draft[] = drafts()): Promise<void> => {
    const [now, job] = [typed.value, view.card.job_id];
    const words = `${check.title}: ${check.readings.flatMap((field) => now[keyOf(field)] === undefined ? [] : [figureWords(now[keyOf(field)] as Figure, field)]).join(", ")}`;
    const act = async (): Promise<void> => void (stage.saved.value = { job, words, at: (await stage.core.act(job, of)).saved_at });
    if (await stage.attempt(act)) kept.value = now;
  };
  const seed = stage.local(`noted ${check.id}`, noted);
  const judged = stage.local(`judged ${check.id}`, "{}");
  const news = JSON.stringify(noted);
  if (typed.value === seed.value && news !== judged.value) queueMicrotask(() => {
    if (news === judged.value) return;
    judged.value = news;
    seed.value = typed.value = kept.value = noted; // nobody typed here: it is as the record has it
    judge(); // what they say, and what they bar, comes back with them
  });
  if (fresh.value && drafts().length > 0) stage.onLeave(() => saveNow(drafts().map((one) => (one.kind === "reading_taken" ? { ...one, replaces: [] } : one)))); // unanswered it takes the place of no figure
  const now = check.readings.find((field) => keyOf(field) === open.value?.field);
  const shown = check.readings.filter((field) => field.optional || figureOf(field) !== null);
  return {
    pad: now ? { words: now.words, body: pad(stage, view, check, now, open, (figure, from) => keep(now, figure, from ?? null), shut, nominalOf(view, typed.value), wanted && said.value ? [said.value.words] : []), back: shut } : null,
    rows: shown.length === 0 ? nothing : html`<ul class="figures">${shown.map((field) => figureRow({ id: field.quantity, words: field.words, unit: unitWords(field.unit), aside: field.optional ? "if you have it" : "", remark: otherOnSheet(limitFor(stage, view, field, nominalOf(view, typed.value)), figureOf(field), field) }, figureOf(field), () => openPad(field)))}</ul>
      ${check.readings.some((field) => field.from_sheet && keyOf(field) in typed.value && !(keyOf(field) in taken.value)) ? wherePicker(where.value, (place) => (where.value = place)) : nothing}`,
    wanted: wanted && (said.value?.outcome ?? null) === null ? { words: `Type it: ${wanted.words}`, open: () => openPad(wanted) } : null,
    typed: check.readings.flatMap((field) => {
      const figure = typed.value[keyOf(field)];
      return figure === undefined ? [] : [{ words: figureWords(figure, field), open: () => openPad(field) }];
    }),
    said: said.value === null ? null : sentences(said.value.words),
    saidUnsafe: isUnsafe(said.value),
    kept: Object.entries(typed.value).every(([key, figure]) => kept.value[key] === figure),
    fresh: fresh.value,
    pending: pending.value,
    barred: (outcome) => (said.value?.excluded.includes(outcome) ? `Not with ${readWords(check, (field) => typed.value[keyOf(field)])}` : null),
    drafts,
    answerMore: () => {
      const minutes = check.readings.find((field) => field.quantity === "minutes_since_fired");
      const figure = minutes && typed.value[keyOf(minutes)];
      return typeof figure === "number" ? { minutes_since_fired: figure } : {};
    },
  };
}

/** What this person read of it and did not answer for: of this visit, and since the last repair. */
function unanswered({ record }: JobView, me: string, check: Check): Typed {
  const since = [...currentAnswers(record, check.id), ...(record.arrivals ?? [])].filter(({ by }) => by.person_id === me);
  const from = Math.max(0, ...[...since, ...record.repairs].map(({ by }) => by.lamport));
  const mine = record.readings.filter((one) => one.check === check.id && one.by.person_id === me && one.by.lamport > from);
  return Object.fromEntries(check.readings.flatMap((field) => {
    const last = mine.findLast((one) => keyOf(one) === keyOf(field));
    return last && !field.from_sheet ? [[keyOf(field), last.value]] : [];
  }));
}

/** What was read, where it is one figure: "200 ppm". The maker's figure beside it is not what was read. */
function readWords(check: Check, figureOf: (field: ReadingField) => Figure | undefined): string {
  const read = check.readings.filter((field) => !field.from_sheet && figureOf(field) !== undefined);
  const [field] = read;
  const figure = field && figureOf(field);
  return field === undefined || figure === undefined || read.length > 1 ? "these figures" : figureWords(figure, field);
}

function figureWords(figure: Figure, field: ReadingField): string {
  return figure === "OL" ? figure : `${numberWords(figure)} ${unitWords(field.unit)}`.trimEnd();
}

function keyOf(field: Pick<ReadingField, "quantity" | "place" | "state">): string {
  return [field.quantity, field.place, field.state].join("|");
}

/** The size of the vent, as typed just now or noted before: the maker's figures for the run go by it. */
function nominalOf(view: JobView, typed: Typed): number | null {
  const now = Object.entries(typed).find(([key]) => key.startsWith("nominal_in|"))?.[1];
  return typeof now === "number" ? now : (view.record.readings.findLast((one) => one.quantity === "nominal_in")?.value ?? null);
}

function onSheet(view: JobView, quantity: string): number | null {
  return view.record.sheet.findLast((note) => note.quantity === quantity)?.value ?? null;
}

function pad(stage: Stage, view: JobView, check: Check, field: ReadingField, open: Signal<Pad | null>, onDone: (figure: Figure, from?: SheetFigure) => void, onCancel: () => void, nominal: number | null, known: string[]): TemplateResult {
  const typed = open.value?.text ?? "";
  const value = valueOf(typed);
  const limit = limitFor(stage, view, field, nominal);
  const impossible = rangeWarning(value, field.hard_low, field.hard_high, unitWords(field.unit));
  const beyond = beyondAnyMeter(value, field.hard_low, field.hard_high, unitWords(field.unit));
  return numberPad({
    words: field.words, unit: unitWords(field.unit), typed, signed: field.hard_low < 0, whole: field.unit === "count",
    warning: impossible, beyond, unusual: impossible ? null : unusualWords(value, field),
    offer: limit ? { words: `${numberWords(limit.value)} ${unitWords(field.unit)} from the company's sheet${placeWords(limit.where)}`, onTake: () => onDone(limit.value, limit) } : null,
    which: whichOf(stage, view, check, field), beside: [...known, ...withWords(view, check, field), ...besideWords(view, field)],
    openLine: field.quantity.endsWith("_ohm") ? () => onDone("OL") : null,
    onTyped: (text) => (open.value = { field: keyOf(field), text }), onDone: (figure) => onDone(figure), onCancel,
  });
}

/** A remark: which of the two is right is read off the heater, and both stay as they were typed. */
function otherOnSheet(limit: SheetFigure | null, figure: Figure | null, field: ReadingField): string | null {
  return limit === null || typeof figure !== "number" || figure === limit.value ? null : `The company's sheet of this model says ${numberWords(limit.value)} ${unitWords(field.unit)}`.trimEnd() + ".";
}

/** The instrument that this figure will name. */
function withWords(view: JobView, check: Check, field: ReadingField): string[] {
  if (field.from_sheet && isInDoubt(view)) return ["Several heaters here; none is named."]; // one line: “Done” stays in sight on a small phone
  const [one, ...more] = field.from_sheet ? [] : fittingFor(view, check, field.quantity);
  return one && more.length === 0 ? [`With: ${instrumentWords(one)}`] : [];
}

/** Of several of a kind, which: a reading that names none can be laid to none. */
function whichOf(stage: Stage, view: JobView, check: Check, field: ReadingField): TemplateResult | typeof nothing {
  const fitting = field.from_sheet ? [] : fittingFor(view, check, field.quantity);
  return fitting.length > 1 ? lateBit((late) => late.whichInstrument(stage, fitting), nothing) : nothing;
}

/** Unusual is no fault: it is said once, and kept as typed. Signed figures are judged by their size. */
function unusualWords(value: number | null, field: ReadingField): string | null {
  const size = value !== null && field.hard_low < 0 ? Math.abs(value) : value;
  return rangeWarning(size, field.usual_low, field.usual_high, "") && `Usual is ${numberWords(field.usual_low)} to ${numberWords(field.usual_high)} ${unitWords(field.unit)}`.replace(/\.? *$/, ".");
}

function wherePicker(now: string, onPick: (place: string) => void): TemplateResult {
  return html`<fieldset class="chips"><legend>Where does the maker's figure stand?</legend>
    ${SHEET_PLACES.map(([place, words]) => html`<button class="chip" type="button" aria-pressed=${String(place === now)} @click=${() => onPick(place)}>${words}</button>`)}
  </fieldset>`;
}
