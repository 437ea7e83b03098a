/** Strips that stand apart: a caution, a fault, what was saved. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import { worded } from "../screens/later";
import type { Stage } from "../screens/screen";
import { clockWords } from "../words";

export function cautionStrip(words: string | null, seen: Set<string>): TemplateResult | typeof nothing {
  return words ? html`<p class="strip" data-kind="caution"><strong>Caution.</strong> ${worded(words, seen)}</p>` : nothing;
}

export function faultStrip(fault: string | null): TemplateResult | typeof nothing {
  return fault ? html`<p class="strip" data-kind="bad" id="fault">${fault}</p>` : nothing;
}

/** "Saved on this phone" stands until the next act; undo for as long as it is the last. */
export function savedStrip(stage: Stage, view: JobView): TemplateResult | typeof nothing {
  const note = stage.saved.value?.job === view.card.job_id ? stage.saved.value : null;
  if (!note && view.undoable.length === 0) return nothing;
  return html`<div class="saved">
    <p><strong>Saved on this phone ${note ? clockWords(note.at) : nothing}</strong> <span class="saved-words">${note?.words ?? "your last entry, before the restart"}</span></p>
    ${view.undoable.length > 0 ? html`<button class="button" type="button" data-undo @click=${() => void stage.undo(view)}>Undo</button>` : nothing}
  </div>`;
}
