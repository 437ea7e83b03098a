/** What a tap becomes: drafts of events, each taking the place of this person's own earlier word, never of another's: that it only names, as heard of. */
import type { Draft, JobView } from "../core_types";
import type { Answer, Mark, ReadingField } from "../generated/trade";
import { isJustNow, isUnsafe, meanwhileOf, unsafeWord, wayOf } from "./answered_anew";
import { PLACE_WORDS, type SheetFigure } from "./heater_read";
import { instrumentFor } from "./instruments";
import { currentAnswers } from "./record_read";

/** The reason that schema 1 of the answer does not know. */
const NOT_ALLOWED = "not_allowed";

export function answerDraft(view: JobView, me: string, check: string, given: { outcome: string } | { could_not: string }, more: { [key: string]: unknown } = {}): Draft {
  const body = { check, outcome: "outcome" in given ? given.outcome : null, could_not: "could_not" in given ? given.could_not : null, ...more };
  const own = currentAnswers(view.record, check).filter((answer) => answer.by.person_id === me && !isFoundBeforeRepair(view, answer));
  const word = "outcome" in given ? unsafeWord(view, me, check) : null;
  const by = own.some((answer) => answer.by.event_id === word?.event_id) || !isUnsafe(view, check, body.outcome) ? word : null; // an unsafe answer to an unsafe figure says the same
  const mine = own.filter((answer) => "outcome" in given ? by || !isBeside(view, check, answer, given.outcome) : !standsAgainst(view, check, answer.outcome));
  const { replaces = [], ...draft } = anew(view, by, 3, body, idsOf(mine));
  return {
    kind: "check_answered",
    ...("could_not" in given && given.could_not === NOT_ALLOWED ? { schema: 2 } : {}), // an older shell reads every other answer as before
    ...draft, ...replacing([...replaces, ...idsOf(heardOf(view, me, check))]),
  };
}

/** What others said and read of it, as it is on this phone: only who had heard of a stop lifts it (docs/adr/0228). */
function heardOf({ record }: JobView, me: string, check: string): { by: Mark }[] {
  return [...currentAnswers(record, check), ...record.readings.filter((one) => one.check === check)].filter(({ by }) => by.person_id !== me);
}

function idsOf(lines: { by: Mark }[]): string[] {
  return lines.map(({ by }) => by.event_id);
}

/** An unsafe word is corrected only where it is said so; a second look names nothing, and says what was done meanwhile. */
function anew(view: JobView, by: Mark | null, corrects: number, body: Draft["body"], ids: string[]): Pick<Draft, "schema" | "body" | "replaces"> {
  if (!by) return { body, ...replacing(ids) };
  if (wayOf(view, by) === "wrong") return ids.length > 0 ? { schema: corrects, body: { ...body, corrects: true }, ...replacing(ids) } : { body };
  const words = meanwhileOf(by).trim();
  return { body: words && "outcome" in body ? { ...body, words } : body };
}

/** What was safe and is unsafe a while later has changed, and was no wrong tap; the room's air is read again and again. */
function isBeside(view: JobView, check: string, { by, outcome }: Answer, now: string): boolean {
  return outcome !== null && (isRoomsAir(view, check) || isUnsafe(view, check, now) && !isJustNow(by));
}

function isRoomsAir({ procedure }: JobView, check: string): boolean {
  return procedure?.checks.find((one) => one.id === check)?.rule === "co_outcome";
}

/** "Could not check" takes nothing back that is unsafe or keeps the burner off: that stands until somebody sees it otherwise. */
function standsAgainst(view: JobView, check: string, outcome: string | null): boolean {
  const keepsOff = view.procedure?.may_fire.some((need) => need.check === check && outcome !== null && !need.outcomes.includes(outcome)) ?? false;
  return keepsOff || isUnsafe(view, check, outcome);
}

/** What was found before the repair stays the finding; a look after it is a new word, no correction. */
function isFoundBeforeRepair(view: JobView, answer: { after_repair: boolean }): boolean {
  return view.record.repairs.length > 0 && !answer.after_repair;
}

export function readingDraft(view: JobView, me: string, check: string, field: ReadingField, value: number, tapped: readonly string[] = []): Draft {
  const mine = view.record.readings.filter((one) => one.by.person_id === me && one.check === check && one.quantity === field.quantity
    && one.place === field.place && one.state === field.state);
  const { quantity, place, state } = field;
  const asked = view.procedure?.checks.find((one) => one.id === check);
  const instrument_words = asked ? instrumentFor(view, asked, quantity, tapped) : null;
  const body = { check, quantity, value, ...(place ? { place } : {}), ...(state ? { state } : {}), ...(instrument_words ? { instrument_words } : {}) };
  if (view.record.repairs.length > 0) return { kind: "reading_taken", body };
  const by = unsafeWord(view, me, check);
  return { kind: "reading_taken", ...anew(view, by, 2, body, !by && isRoomsAir(view, check) ? [] : mine.slice(-1).map((one) => one.by.event_id)) };
}

/** `taken` where it is from the company's sheet: then nobody read it on this heater. */
export function sheetDraft(view: JobView, me: string, quantity: string, value: number, where: string, taken: SheetFigure | undefined): Draft {
  const mine = view.record.sheet.filter((one) => one.by.person_id === me && one.quantity === quantity);
  const from = taken ? { where: taken.where !== null && taken.where in PLACE_WORDS ? taken.where : "sheet", model_sheet_id: taken.model_sheet_id } : { where };
  const body = { quantity, value, ...from };
  return { kind: "sheet_number", schema: 2, body, ...replacing(mine.map((one) => one.by.event_id)) };
}

export function replacing(ids: string[]): { replaces?: string[] } {
  return ids.length > 0 ? { replaces: ids } : {};
}
