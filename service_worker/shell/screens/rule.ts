/** Asks trade/ what the figures of a check say. Only ever a proposal: the technician answers. */
import type { JobView } from "../core_types";
import type { Check, ReadingField } from "../generated/trade";
import type { Stage } from "./screen";

interface Proposal {
  outcome: string;
  words: string;
}

/** The rule's words, or null where there is no rule, a figure is missing, or the rule cannot say. */
export async function proposeOutcome(stage: Stage, view: JobView, check: Check, value: (field: ReadingField) => number | null): Promise<string | null> {
  if (!check.rule || check.readings.some((field) => !field.optional && value(field) === null)) return null;
  const figures = Object.fromEntries(check.readings.flatMap((field) => (value(field) === null ? [] : [[field.quantity, value(field)]])));
  const sheet = Object.fromEntries(view.record.sheet.map((note) => [note.quantity, note.value]));
  try {
    return (await stage.core.ask<Proposal>(check.rule, { ...sheet, ...figures })).words;
  } catch {
    return null; // the engine is away: the answers stand as they are
  }
}
