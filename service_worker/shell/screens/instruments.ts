/** Which instruments are noted for this job, and which one a reading was taken with. */
import type { Instrument, InstrumentKind, JobView, Record_ } from "../core_types";
import type { Check } from "../generated/trade";
import { dayWords } from "../words";

export type Carried = Record_["instruments"][number];

export const KIND_WORDS: { [kind in InstrumentKind]: string } = {
  co_meter: "CO meter", gas_detector: "Gas detector", multimeter: "Multimeter", manometer: "Manometer", combustion_analyser: "Combustion analyser",
  thermometer: "Thermometer", other: "Another instrument",
};

/** The last word on each instrument of this job. */
export function carriedNow(record: Record_): Carried[] {
  const last = new Map(record.instruments.map((one) => [one.instrument_id, one]));
  return [...last.values()];
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
