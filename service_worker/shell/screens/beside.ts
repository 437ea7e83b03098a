/** Readings of the same thing at earlier visits, beside the one that is typed. */
import type { HistoryEntry, JobView } from "../core_types";
import { dayWords, readingWords } from "../words";

export const SHOWN_AT_ONCE = 2;

/** "Earlier here: 0.41 in. w.c. on 3 Nov 2026": the same quantity, newest visit first. */
export function besideWords(view: JobView, field: { quantity: string; place: string | null }): string[] {
  return view.history.flatMap((visit) => visit.readings
    .filter((reading) => reading.quantity === field.quantity && (reading.place ?? field.place) === field.place)
    .map((reading) => `Earlier here: ${readingWords(reading.value, reading.quantity)}${reading.state ? `, ${reading.state}` : ""}, ${dayWords(whenOf(visit))}`)).slice(0, SHOWN_AT_ONCE);
}

export function whenOf(visit: HistoryEntry): string | null {
  return visit.closed_wall ?? visit.opened_wall ?? visit.booked_wall;
}
