/** What is missing with the instruments of this job. */
import type { InstrumentKind, Record_ } from "../core_types";
import { dayWords, momentOf } from "../words";
import { carriedNow, KIND_WORDS, type Carried } from "./instruments";

/** What is done to it on the day, before it is trusted. Common practice, no source; its own instructions rule. */
export const TODAY: { [kind in InstrumentKind]?: ["bump_tested" | "zeroed", string][] } = {
  co_meter: [["bump_tested", "Bump-tested today"], ["zeroed", "Zeroed outdoors"]],
  gas_detector: [["bump_tested", "Bump-tested today"]],
  manometer: [["zeroed", "Zeroed, both ports open"]],
  combustion_analyser: [["zeroed", "Zeroed outdoors"]],
};
const CALIBRATION_YEARS = 1; // common practice, no source: the instrument's own paper rules

/** What a careful hand would still do. It never stands in the way. */
export function kitMissing(record: Record_, now: number): string[] {
  const carried = carriedNow(record);
  const missing = carried.some((one) => one.instrument_kind === "co_meter") ? [] : [hasCoMeterOn(record) ? "The CO meter that is on has no name here" : "No CO meter is noted"];
  return [...missing, ...carried.flatMap((one) => notReady(one, now))];
}

/** What is not noted of one instrument, or too long ago. */
export function notReady(one: Carried, now: number): string[] {
  const name = KIND_WORDS[one.instrument_kind];
  const open = (TODAY[one.instrument_kind] ?? []).filter(([what]) => one[what] !== true).map(([, words]) => `${name}: not noted: ${words.toLowerCase()}`);
  return isStale(one.calibrated_on, now) ? [...open, `${name}: calibrated ${dayWords(one.calibrated_on)}, more than a year ago`] : open;
}

/** When a year is up since it was calibrated. */
export function yearUp(day: string): Date {
  const at = momentOf(day);
  at.setFullYear(at.getFullYear() + CALIBRATION_YEARS);
  return at;
}

export function isStale(day: string | null, now: number): boolean {
  return day !== null && now > yearUp(day).getTime();
}

/** Whoever answered that the meter is on, tested and zeroed carries one, though it has no name here. */
export function hasCoMeterOn({ checks }: Record_): boolean {
  return checks.some(({ check, outcome }) => check === "co_meter" && outcome === "on");
}
