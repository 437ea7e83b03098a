/** This phone's last entry in a job, by its name, and its undoing: asked about once where something hangs on it. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import { clockWords } from "../words";
import { outcomeOf } from "./record_read";
import type { SavedNote, Stage } from "./screen";
import { timelineOf, type Line } from "./timeline";
import { isUnsent } from "./visit_strips";

/** `kept`: what this screen saved itself; a job that one comes back to says it from its record. */
export function lastEntry(stage: Stage, view: JobView, kept: SavedNote | null): TemplateResult {
  const lines = timelineOf(view).filter(({ by }) => view.undoable.includes(by.event_id));
  const line = lines.findLast(({ check }) => check !== null) ?? lines.at(-1) ?? null;
  const note = kept && line && line.by.at_wall > kept.at ? null : kept; // another window of this phone wrote since
  const named = note?.words ?? (line ? namedWords(line) : "an entry about the address");
  const question = view.undoable.length > 0 ? asks(stage, view, note, line) : null;
  const asked = stage.local("undo", false);
  const turn = (): void => {
    asked.value = !asked.value;
    requestAnimationFrame(() => document.querySelector("[data-leave-it]")?.scrollIntoView({ block: "center" })); // under a long stop it opens behind the foot
  };
  const undo = (): void => void stage.undo(view, named);
  return html`<div class="saved">
    ${savedWords(note?.at ?? line?.by.at_wall ?? null, named)}
    ${view.undoable.length > 0 ? html`<button class="button" type="button" data-undo aria-label=${`Undo: ${named}`} aria-expanded=${question ? String(asked.value) : nothing} ?disabled=${stage.busy.value} @click=${question ? turn : undo}>Undo</button>` : nothing}
    ${question && asked.value ? html`<div class="undo-asked" role="alert"><p>${question} <strong>Take it back?</strong></p>
      <div class="pair"><button class="button" type="button" data-leave-it @click=${turn}>Keep it</button><button class="button" type="button" data-take-it-back ?disabled=${stage.busy.value} @click=${undo}>Take it back</button></div></div>` : nothing}
  </div>`;
}

function savedWords(at: string | null, words: string): TemplateResult {
  return html`<p><strong>Saved on this phone ${at ? clockWords(at) : nothing}</strong> <span class="saved-words">${words}</span></p>`;
}

function namedWords({ what, words }: Line): string {
  return [what, words].filter(Boolean).join(": ");
}

/** What taking it back would mean; null where it is a slip of the thumb just now, and nothing hangs on it. */
function asks(stage: Stage, view: JobView, note: SavedNote | null, line: Line | null): string | null {
  const { undoable, danger, record } = view;
  const what = line ? `“${line.words || line.what}”` : "It";
  if ([...record.left_off, record.closed?.state === "left_off" ? record.closed : null].some((one) => one && undoable.includes(one.by.event_id))) return "Then nothing says any more that it was left off.";
  const warns = danger.some(({ by }) => by && undoable.includes(by.event_id)) || record.checks.some(({ check, entries }) => entries.some((entry) => undoable.includes(entry.by.event_id) && isWarning(view, check, entry.outcome)));
  if (warns) return `${what} then no longer counts, and its warning goes. Put right since? Keep it, and answer again.`;
  return note === null && !(line && isUnsent(stage, line.by)) ? `${what} is sent already. It then no longer counts.` : null;
}

/** An answer that stops a visit, or says of something that it is unsafe. */
export function isWarning({ procedure }: JobView, check: string, outcome: string | null): boolean {
  const one = outcomeOf(procedure, check, outcome);
  return one !== undefined && (one.unsafe === true || one.stop_words !== null);
}
