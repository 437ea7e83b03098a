/** Strips that stand apart: a caution, a fault, what was saved. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import { lateBit, worded } from "../screens/later";
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
  return lateBit((late) => late.lastEntry(stage, view, note), note ? html`<div class="saved"><p><strong>Saved on this phone ${clockWords(note.at)}</strong> <span class="saved-words">${note.words}</span></p></div>` : nothing);
}
