/** What another visit to the address found unsafe and nobody has looked at again: who, when, the number, and what to do. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { FoundHere, JobView } from "../core_types";
import { clockWords } from "../words";

/** "Found on another visit today 14:10, Rosa Lindqvist: CO in the room: Raised, 90 ppm. It has not been put right." */
export function foundWords({ people }: JobView, { wall, person_id, words, repaired }: FoundHere): string {
  const at = clockWords(wall);
  const who = people[person_id];
  return `Found on another visit ${at.includes(",") ? "on" : "today"} ${at}${who ? `, ${who}` : ""}: ${words}. ${sinceWords(repaired)}`;
}

export function sinceWords(repaired: boolean): string {
  return repaired ? "Something was repaired since, and nobody has looked again." : "It has not been put right.";
}

/** First of all on the job's page, with what to do. */
export function foundBox(view: JobView): TemplateResult | typeof nothing {
  if (view.elsewhere.length === 0) return nothing;
  return html`<div class="strip" data-kind="bad" data-found-elsewhere>${view.elsewhere.map((one) => html`<p><strong>${one.other_heater ? "Another heater. " : ""}${foundWords(view, one)}</strong> ${one.stop_words ?? (one.other_heater ? "" : "No burner runs before it is looked at again.")}</p>`)}</div>`;
}
