/** Everything in a record, in the order in which it happened. */
import type { JobView, Procedure, Record_ } from "../core_types";
import type { Mark, Reading } from "../generated/trade";
import { closeWords, count, plainName, readingWords } from "../words";
import { answerWords, causeWords, checkTitle, repairWords, verdictOf } from "./record_read";
import { ownWords, photoOf } from "../components/photo_words";
import { withdrawalOf } from "./taken_back";
import { tooSoonWords } from "./proof_time";
import { confirmedWords, visitLines } from "./visit_lines";
import type { Verdict } from "../components/verdict";

/** A line of the timeline. `check` leads to answering it again. */
export interface Line {
  by: Mark;
  what: string;
  words: string;
  verdict: Verdict | null;
  check: string | null;
  photo: string | null;
  replaced: boolean;
  /** can be taken back by whoever wrote it: there is no answering it again */
  takeable: boolean;
  /** by whom and when it was taken back: it counts no more */
  takenBack: Mark | null;
}

/** Everything in the record, first things first. */
export function timelineOf(view: JobView): Line[] {
  const { record, procedure } = view;
  const lines: Line[] = [];
  const add = (by: Mark | undefined, what: string, words: string, more: Partial<Line> = {}): void => {
    if (by) lines.push({ by, what, words, verdict: null, check: null, photo: null, replaced: false, takeable: false, takenBack: null, ...more });
  };
  add(record.booked?.by, "Booked", record.booked?.complaint_words ?? "");
  add(record.opened?.by, "Begun", "");
  for (const one of (record.arrivals ?? []).slice(1)) add(one.by, "Arrived", one.words ?? "");
  for (const code of record.codes) add(code.by, "The control showed", codeWords(code));
  for (const { check, entries } of record.checks) {
    for (const entry of entries) {
      add(entry.by, checkTitle(procedure, check), withMore(answerWords(procedure, check, entry), entry.words), {
        verdict: verdictOf(procedure, check, entry), check, replaced: !entry.current,
      });
    }
  }
  for (const one of record.readings) add(one.by, quantityWords(procedure, one), withMore(readingWords(one.value, one.quantity), one.instrument_words && `With: ${one.instrument_words}`), { check: one.check });
  for (const one of record.photos) add(one.by, ["Photo", photoOf(view, one)].filter(Boolean).join(": "), ownWords(view, one), { photo: one.sha256, takeable: true });
  for (const one of record.vent_surveys) add(one.by, "The vent run", surveyWords(one));
  for (const one of record.hunches) add(one.by, "Hunch", withMore(causeWords(procedure, one.cause), one.words));
  for (const one of record.sheet) add(one.by, `Maker's figure: ${plainName(one.quantity)}`, `${readingWords(one.value, one.quantity)}, ${confirmedWords(record, one)}`);
  for (const one of record.causes) add(one.by, "Cause", withMore(causeWords(procedure, one.cause), one.words));
  const work = (of: Pick<Record_, "repairs" | "parts" | "proofs" | "notes">, more: (by: Mark) => Partial<Line>): void => {
    for (const one of of.repairs) add(one.by, "Repair", withMore(repairWords(procedure, one.action), one.words), more(one.by));
    for (const one of of.parts) add(one.by, one.direction === "fitted" ? "Fitted" : "Taken out", `${one.count} × ${one.part_words}`, more(one.by));
    for (const one of of.proofs) add(one.by, "Hot run", proofWords(one), { verdict: one.passed ? "good" : "bad", ...more(one.by) });
    for (const one of of.notes) add(one.by, "Note", one.words, more(one.by));
  };
  work(record, () => ({ takeable: true }));
  const back = record.taken_back; // a record stored by an older shell has none
  if (back) {
    const taken = (by: Mark): Partial<Line> => ({ takenBack: withdrawalOf(view, by), verdict: null });
    work(back, taken);
    for (const one of back.answers ?? []) add(one.by, checkTitle(procedure, one.check), withMore(answerWords(procedure, one.check, one), one.words), { check: one.check, ...taken(one.by) });
    for (const one of back.readings ?? []) add(one.by, quantityWords(procedure, one), readingWords(one.value, one.quantity), { check: one.check, ...taken(one.by) });
  }
  for (const one of record.left_off) add(one.by, "Left off and tagged", `${one.what_words}: ${one.why_words}. Told: ${one.told_words}`);
  lines.push(...visitLines(view));
  add(record.closed?.by, "Closed", withMore(closeWords(record.closed?.state ?? ""), record.closed?.words ?? null));
  return lines.sort((a, b) => a.by.lamport - b.by.lamport || compare(a.by.device_id, b.by.device_id) || compare(a.by.event_id, b.by.event_id));
}

export function codeWords(code: Omit<Record_["codes"][number], "by">): string {
  const shown = { flashes: code.flash_groups ? `flashes ${code.flash_groups.replaceAll("-", " – ")}` : code.flashes === 1 ? "1 flash" : `${code.flashes ?? "?"} flashes`, text: `“${code.text ?? ""}”`, dark: "dark: no light at all", steady: "a steady light" }[code.shown];
  return withMore(shown, code.meaning_words);
}

function proofWords(proof: Record_["proofs"][number]): string {
  const [before, after] = [proof.before_value, proof.after_value].map((value) => (value === null || value === undefined || !proof.quantity ? null : readingWords(value, proof.quantity)));
  const suction = after ? `, ${plainName(proof.quantity ?? "")} ${before ? `${before} before, ` : ""}${after} now` : "";
  return withMore(`${proof.passed ? "held" : "did not hold"}, ${proof.minutes} min, ${count(proof.restarts, "restart")}${suction}`, tooSoonWords(proof) || null);
}

function surveyWords(survey: Record_["vent_surveys"][number]): string {
  return `${survey.nominal_in} in., ${survey.straight_ft} ft straight, ${survey.elbows_90} × 90°, ${survey.elbows_45} × 45°`;
}

function withMore(words: string, more: string | null): string {
  return more ? `${words}. ${more}` : words;
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** "suction at the switch, cold": as the procedure says it, or from the reading itself. */
function quantityWords(procedure: Procedure | null, reading: Pick<Reading, "quantity" | "place" | "state" | "check">): string {
  const fields = procedure?.checks.flatMap((check) => check.readings) ?? [];
  const same = fields.find((field) => field.quantity === reading.quantity && field.place === reading.place && field.state === reading.state);
  return same?.words ?? [plainName(reading.quantity), reading.place, reading.state].filter(Boolean).join(", ");
}
