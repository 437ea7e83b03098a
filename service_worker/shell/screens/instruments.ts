/** Which instruments are noted for this job, what is missing with them, and which one a reading was taken with. */
import type { Instrument, InstrumentKind, JobView, Record_ } from "../core_types";
import type { Check } from "../generated/trade";
import { dayWords } from "../words";

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
const CALIBRATION_DAYS = 365; // common practice, no source: the instrument's own paper rules
const DAY_MS = 86_400_000;

/** The last word on each instrument of this job. */
export function carriedNow(record: Record_): Carried[] {
  const last = new Map(record.instruments.map((one) => [one.instrument_id, one]));
  return [...last.values()];
}

/** What a careful hand would still do. It never stands in the way. */
export function kitMissing(record: Record_, now: number): string[] {
  const carried = carriedNow(record);
  const missing = carried.some((one) => one.instrument_kind === "co_meter") ? [] : ["No CO meter is noted"];
  for (const one of carried) {
    for (const [what, words] of TODAY[one.instrument_kind] ?? []) if (one[what] !== true) missing.push(`${KIND_WORDS[one.instrument_kind]}: not noted: ${words.toLowerCase()}`);
    if (isStale(one.calibrated_on, now)) missing.push(`${KIND_WORDS[one.instrument_kind]}: calibrated ${dayWords(one.calibrated_on)}, more than a year ago`);
  }
  return missing;
}

export function isStale(day: string | null, now: number): boolean {
  return day !== null && now - Date.parse(day) > CALIBRATION_DAYS * DAY_MS;
}

export function instrumentWords(one: Pick<Instrument, "instrument_kind" | "calibrated_on"> & { serial_words: string | null }): string {
  return [KIND_WORDS[one.instrument_kind], one.serial_words, one.calibrated_on ? `calibrated ${dayWords(one.calibrated_on)}` : null].filter(Boolean).join(", ");
}

const BY_SENSE: { [sense: string]: InstrumentKind[] } = {
  analyser: ["combustion_analyser", "co_meter"], gauge: ["manometer"], meter: ["multimeter"],
};

/** The carried instrument that such a reading is taken with; null where none fits, or where two of a kind do. */
export function instrumentFor({ record }: JobView, check: Pick<Check, "sense">, quantity: string): string | null {
  const kinds: InstrumentKind[] = quantity === "co_room_ppm" ? ["co_meter", "combustion_analyser"] : quantity.endsWith("_temp_f") ? ["thermometer"] : (BY_SENSE[check.sense] ?? []);
  for (const kind of kinds) {
    const fitting = carriedNow(record).filter((one) => one.instrument_kind === kind);
    if (fitting.length === 1 && fitting[0]) return instrumentWords(fitting[0]);
    if (fitting.length > 1) return null;
  }
  return null;
}
