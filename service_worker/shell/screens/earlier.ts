/** What this address already told: visits before this one, and readings of the same thing. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { HistoryEntry, JobView } from "../core_types";

export function besideWords(view: JobView, field: { quantity: string; place: string | null; unit: string }): string[] {
  void view;
  void field;
  return [];
}

export function earlierVisits(history: readonly HistoryEntry[]): TemplateResult | typeof nothing {
  return history.length > 0 ? html`` : nothing;
}
