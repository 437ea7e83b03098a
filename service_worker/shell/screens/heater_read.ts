/** Which heater stands here, and which of the company's model sheets is its own. */
import type { JobView, KnownHeater, ModelCode, ModelLimit, ModelSheet } from "../core_types";
import type { ReadingField } from "../generated/trade";
import { plainName, readingWords } from "../words";
import type { Stage } from "./screen";

/** The heater of this job's kind that was described last. */
export function heaterOf(view: JobView): KnownHeater | null {
  return view.facts.heaters.find((one) => one.kind === view.procedure?.name) ?? null;
}

/** Sheets for this kind of heater. */
export function sheetsFor(stage: Stage, view: JobView): readonly ModelSheet[] {
  return (stage.core.company.value?.model_sheets ?? []).filter((sheet) => sheet.procedure_name === view.procedure?.name);
}

export function sheetOf(stage: Stage, view: JobView): ModelSheet | null {
  const id = heaterOf(view)?.model_sheet_id;
  return sheetsFor(stage, view).find((sheet) => sheet.model_sheet_id === id) ?? null;
}

export function sheetName(sheet: ModelSheet): string {
  return [sheet.maker_words, sheet.model_words].filter(Boolean).join(" ");
}

export function heaterName(heater: KnownHeater): string {
  return [heater.maker_words, heater.model_words].filter(Boolean).join(" ") || "A heater without a name";
}

/** The maker's figure for a field, from the company's sheet of this model; the unit in its name must be the very same. Those of the vent go by the size of the pipe. */
export function limitFor(stage: Stage, view: JobView, field: Pick<ReadingField, "quantity" | "from_sheet">, nominalIn: number | null): ModelLimit | null {
  const sheet = field.from_sheet ? sheetOf(stage, view) : null;
  const value = sheet?.vent.find((row) => row.nominal_in === nominalIn)?.figures[field.quantity];
  if (value !== undefined) return { quantity: field.quantity, value, where: "sheet" };
  return sheet?.limits.find((limit) => limit.quantity === field.quantity) ?? null;
}

export const PLACE_WORDS: { [where: string]: string } = { plate: "the rating plate", sheet: "the maker's sheet", part_label: "the part's label" };

export function placeWords(where: string | null): string {
  return where ? `, ${PLACE_WORDS[where] ?? where}` : "";
}

export function limitWords(view: JobView, limit: ModelLimit): string {
  const field = view.procedure?.checks.flatMap((check) => check.readings).find((one) => one.quantity === limit.quantity);
  return `${field?.words ?? plainName(limit.quantity)}: ${readingWords(limit.value, limit.quantity)}${placeWords(limit.where)}`;
}

/** The vent's figures of that sheet, a line for each size of pipe. */
export function ventWords(view: JobView, sheet: ModelSheet): string[] {
  return sheet.vent.map((row) => `Pipe of ${row.nominal_in} in.: ${Object.entries(row.figures).map(([quantity, value]) => limitWords(view, { quantity, value, where: null })).join("; ") || "no figure"}`);
}

/** The line of the model's own table; null where there is no sheet or no such line. */
export function codeIn(sheet: ModelSheet | null, seen: { groups?: string; text?: string }): ModelCode | null {
  const plain = (text: string): string => text.toLowerCase().replace(/[^a-z0-9]/g, "");
  return sheet?.codes.find((code) => (seen.groups !== undefined ? code.flash_groups?.replace(/\D+/g, "-") === seen.groups : seen.text !== undefined && code.text !== null && plain(code.text) === plain(seen.text))) ?? null;
}
