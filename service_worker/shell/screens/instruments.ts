/** Which instruments are noted for this job, what is missing with them, and which one a reading was taken with. */
import type { Instrument, InstrumentKind, JobView, Record_ } from "../core_types";
import type { Check } from "../generated/trade";
import { dayWords, momentOf } from "../words";

type Carried = Record_["instruments"][number];

export const KIND_WORDS: { [kind in InstrumentKind]: string } = {
  co_meter: "CO meter", gas_detector: "Gas detector", multimeter: "Multimeter", manometer: "Manometer", combustion_analyser: "Combustion analyser",
  thermometer: "Thermometer", other: "Another instrument",
};

/** What is done to it on the day, before it is trusted. Common practice, no source; its own instructions rule. */
export const TODAY: { [kind in InstrumentKind]?: ["bump_tested" | "zeroed", string][] } = {
  co_meter: [["bump_tested", "Bump-tested today"], ["zeroed", "Zeroed outdoors"]],
  gas_detector: [["bump_tested", "Bump-tested today"]],
  manometer: [["zeroed", "Zeroed, both ports open"]],
  combustion_analyser: [["zeroed", "Zeroed outdoors"]],
};
const CALIBRATION_YEARS = 1; // common practice, no source: the instrument's own paper rules

/** The last word on each instrument of this job. */
export function carriedNow(record: Record_): Carried[] {
  const last = new Map(record.instruments.map((one) => [one.instrument_id, one]));
  return [...last.values()];
}

/** What a careful hand would still do. It never stands in the way. */
export function kitMissing(record: Record_, now: number): string[] {
  const carried = carriedNow(record);
  const missing = carried.some((one) => one.instrument_kind === "co_meter") ? [] : [hasCoMeterOn(record) ? "The CO meter that is on has no name here" : "No CO meter is noted"];
  for (const one of carried) {
    for (const [what, words] of TODAY[one.instrument_kind] ?? []) if (one[what] !== true) missing.push(`${KIND_WORDS[one.instrument_kind]}: not noted: ${words.toLowerCase()}`);
    if (isStale(one.calibrated_on, now)) missing.push(`${KIND_WORDS[one.instrument_kind]}: calibrated ${dayWords(one.calibrated_on)}, more than a year ago`);
  }
  return missing;
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

export function instrumentWords(one: Pick<Instrument, "instrument_kind" | "calibrated_on"> & { serial_words: string | null }): string {
  return [KIND_WORDS[one.instrument_kind], one.serial_words, one.calibrated_on ? `calibrated ${dayWords(one.calibrated_on)}` : null].filter(Boolean).join(", ");
}

const BY_SENSE: { [sense: string]: InstrumentKind[] } = {
  analyser: ["combustion_analyser", "co_meter"], gauge: ["manometer"], meter: ["multimeter"],
};

/** The room's CO is read off the meter that is worn, the flue's warmth off the probe in it; the clock is none of these. */
const BY_QUANTITY: [ending: string, InstrumentKind[]][] = [
  ["co_room_ppm", ["co_meter", "combustion_analyser"]], ["stack_temp_f", ["combustion_analyser", "thermometer"]], ["_temp_f", ["thermometer"]], ["_seconds", []],
];

/** The carried instruments of the first kind that fits such a reading. */
export function fittingFor({ record }: JobView, check: Pick<Check, "sense">, quantity: string): Carried[] {
  const kinds = BY_QUANTITY.find(([ending]) => quantity.endsWith(ending))?.[1] ?? BY_SENSE[check.sense] ?? [];
  return kinds.map((kind) => carriedNow(record).filter((one) => one.instrument_kind === kind)).find((fitting) => fitting.length > 0) ?? [];
}

/** The one that it names; of several of a kind the one that was tapped last; null where none fits, or nobody said which. */
export function instrumentFor(view: JobView, check: Pick<Check, "sense">, quantity: string, tapped: readonly string[] = []): string | null {
  const fitting = fittingFor(view, check, quantity);
  const one = fitting.length > 1 ? fitting.find(({ instrument_id }) => tapped.includes(instrument_id)) : fitting[0];
  return one ? instrumentWords(one) : null;
}
