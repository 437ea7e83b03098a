/** The company's models to choose from: what stands at this address first, and marked; then its maker's others. */
import type { Answer } from "../components/answers";
import type { JobView, ModelSheet } from "../core_types";
import { bare, heaterOf, heatersOfKind, sheetName, sheetOf, sheetsFor } from "./heater_read";
import type { Stage } from "./screen";

export function modelAnswers(stage: Stage, view: JobView, but: ModelSheet | null = null): Answer[] {
  const heater = heaterOf(view);
  const here = (heater ? [heater] : heatersOfKind(view)).map((one) => ({ one, sheet: sheetOf(stage, view, one) }));
  const standing = (sheet: ModelSheet): string | null => {
    const of = here.filter((each) => each.sheet === sheet);
    return of.length > 0 ? ["Stands here, as it was described", ...of.map(({ one }) => one.location_words)].filter(Boolean).join(": ") : null;
  };
  const far = (sheet: ModelSheet): number => (standing(sheet) ? 0 : here.some(({ one }) => bare(one.maker_words ?? "") === bare(sheet.maker_words)) ? 1 : 2);
  const sheets = sheetsFor(stage, view).filter((sheet) => sheet !== but);
  return [0, 1, 2].flatMap((step) => sheets.filter((sheet) => far(sheet) === step)).map((sheet) => {
    const more = standing(sheet);
    return { id: sheet.model_sheet_id, words: sheetName(sheet), ...(more ? { more } : {}) };
  });
}
