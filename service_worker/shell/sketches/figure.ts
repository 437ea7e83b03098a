/** Our own line sketches: what to look at is in the lamp's colour, everything else in plain ink; colours follow the theme. */
import { html, nothing, svg, type TemplateResult } from "lit-html";
import { SKETCHES } from "./sketches";

/** The sketch of that name with its text alternative; nothing where there is none, never a broken picture. */
export function sketchFigure(id: string, title: string): TemplateResult | typeof nothing {
  const sketch = SKETCHES[id];
  if (!sketch) return nothing;
  return html`<svg class="sketch" viewBox="0 0 200 120" role="img" aria-label=${`Sketch: ${title.toLowerCase()}. ${sketch.words}`} data-sketch=${id}>${svg`${sketch.lines}`}</svg>`;
}
