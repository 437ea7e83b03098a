/** Which heater stands here, and which of the company's model sheets is its own. */
import type { JobView, KnownHeater, ModelCode, ModelLimit, ModelSheet } from "../core_types";
import type { ReadingField } from "../generated/trade";
import { plainName, readingWords } from "../words";
import type { Stage } from "./screen";

/** Heaters of this job's kind that are known at this address. */
export function heatersOfKind(view: JobView): KnownHeater[] {
  return view.facts.heaters.filter((one) => one.kind === view.procedure?.name);
}

/** The heater of this job: the one that was named in it, or the only one of its kind. Of several nobody guesses which it is. */
export function heaterOf(view: JobView): KnownHeater | null {
  const known = heatersOfKind(view);
  const named = view.record.appliances.findLast((said) => known.some((one) => one.appliance_id === said.appliance_id));
  if (named) return known.find((one) => one.appliance_id === named.appliance_id) ?? null;
  return known.length === 1 ? (known[0] ?? null) : null;
}

/** Nobody has said yet which of several it is. */
export function isInDoubt(view: JobView): boolean {
  return heaterOf(view) === null && heatersOfKind(view).length > 1;
}

/** The heater to which a chosen sheet belongs: this job's, or among several in doubt the only one with that sheet. */
export function heaterWith(stage: Stage, view: JobView, sheet: ModelSheet): KnownHeater | null {
  const alike = heatersOfKind(view).filter((one) => sheetOf(stage, view, one) === sheet);
  return heaterOf(view) ?? (alike.length === 1 ? (alike[0] ?? null) : null);
}

/** Sheets for this kind of heater. */
export function sheetsFor(stage: Stage, view: JobView): readonly ModelSheet[] {
  return (stage.core.company.value?.model_sheets ?? []).filter((sheet) => sheet.procedure_name === view.procedure?.name);
}

/** The sheet that was chosen for the heater; where none was, the one of its very name: who described it by telephone chose none. */
export function sheetOf(stage: Stage, view: JobView, heater = heaterOf(view)): ModelSheet | null {
  const sheets = heater ? sheetsFor(stage, view) : [];
  return sheets.find((sheet) => sheet.model_sheet_id === heater?.model_sheet_id) ?? sheets.find((sheet) => heater && bare(sheetName(sheet)) === bare(heaterName(heater))) ?? null;
}

/** Without case, accents, spaces and marks, as the office tells models apart. */
export function bare(text: string): string {
  return text.normalize("NFKD").toLowerCase().replace(/[^\p{L}\p{N}]/gu, "");
}

export function sheetName(sheet: ModelSheet): string {
  return [sheet.maker_words, sheet.model_words].filter(Boolean).join(" ");
}

export function heaterName(heater: KnownHeater): string {
  return [heater.maker_words, heater.model_words].filter(Boolean).join(" ") || "A heater without a name";
}

/** A maker's figure with the company's sheet that it is from. */
export type SheetFigure = ModelLimit & { model_sheet_id: string };

/** The maker's figure for a field, from the company's sheet of this model; the unit in its name must be the very same. Those of the vent go by the size of the pipe. */
export function limitFor(stage: Stage, view: JobView, field: Pick<ReadingField, "quantity" | "from_sheet">, nominalIn: number | null): SheetFigure | null {
  const sheet = field.from_sheet ? sheetOf(stage, view) : null;
  const value = sheet?.vent.find((row) => row.nominal_in === nominalIn)?.figures[field.quantity];
  const limit = value !== undefined ? { quantity: field.quantity, value, where: "sheet" } : sheet?.limits.find((one) => one.quantity === field.quantity);
  return sheet && limit ? { ...limit, model_sheet_id: sheet.model_sheet_id } : null;
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
