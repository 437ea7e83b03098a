/** Something unsafe answered anew: a wrong tap that is corrected, or a second look that stands beside what was found (docs/adr/0220). */
import { signal } from "@preact/signals-core";
import type { JobView } from "../core_types";
import type { Mark } from "../generated/trade";
import { currentAnswers } from "./record_read";

export type Way = "wrong" | "looked";

/** A wrong tap is seen at once; whoever comes to it later has looked again. The fold's own two minutes. */
const WRONG_TAP_MS = 120_000;
const chosen = signal<{ event_id: string; way: Way } | null>(null);
const meanwhile = signal<{ event_id: string; words: string }>({ event_id: "", words: "" });

export function isUnsafe({ procedure }: Pick<JobView, "procedure">, check: string, outcome: string | null): boolean {
  return procedure?.checks.find((one) => one.id === check)?.outcomes.some((one) => one.id === outcome && (one.unsafe === true || one.stop_words !== null)) ?? false;
}

/** This person's unsafe word that stands, or their figure that nobody answered for. */
export function unsafeWord(view: JobView, me: string, check: string): Mark | null {
  const { record, danger } = view;
  const said = currentAnswers(record, check).find((one) => one.by.person_id === me && isUnsafe(view, check, one.outcome) && (record.repairs.length === 0 || one.after_repair));
  const figure = record.repairs.length > 0 ? null : danger.find((one) => one.check === check && one.by?.person_id === me)?.by;
  return said?.by ?? figure ?? null;
}

export function wayOf({ record }: JobView, by: Mark): Way {
  if (chosen.value?.event_id === by.event_id) return chosen.value.way;
  const actedOn = [...record.left_off, ...record.repairs, ...record.photos].some((one) => one.by.lamport > by.lamport); // nobody leaves a heater off for a wrong tap
  return isJustNow(by) && !actedOn ? "wrong" : "looked";
}

export function isJustNow(by: Mark): boolean {
  return Math.abs(Date.now() - Date.parse(by.at_wall)) <= WRONG_TAP_MS;
}

export function choose(by: Mark, way: Way): void {
  chosen.value = { event_id: by.event_id, way };
}

/** What was shut or opened before the second look: it goes with the answer. */
export function meanwhileOf(by: Mark): string {
  return meanwhile.value.event_id === by.event_id ? meanwhile.value.words : "";
}

export function sayMeanwhile(by: Mark, words: string): void {
  meanwhile.value = { event_id: by.event_id, words };
}
