/** The whole heater, drawn for its procedure: every part can be tapped. The list under it says the same in words. */
import { html, nothing, svg, type TemplateResult } from "lit-html";
import { shapesOf, sketchOf } from "./figure";

/** A sketch named `heater/` and the procedure, with a place to tap for each part: x, y, width, height in units of the drawing.
 * On a screen of 320 px a unit is 0.96 px: 46 units are 44 px. Without one the list alone stands. */
export function heaterDrawing(procedure: string, parts: readonly { id: string; words: string }[], chosen: string | null, done: ReadonlySet<string>, href: (part: string) => string): TemplateResult | typeof nothing {
  const drawing = sketchOf(`heater/${procedure}`);
  if (!drawing) return nothing;
  return html`<svg class="heater" viewBox="0 0 300 480" role="group" aria-label=${`${drawing.words} Each part can be tapped.`}>
    <g class="heater-lines" aria-hidden="true">${shapesOf(drawing)}</g>
    ${parts.map(({ id, words }) => {
      const place = drawing.places?.[id];
      if (!place) return nothing;
      const [x, y, width, height] = place;
      return svg`<a class="part" href=${href(id)} aria-label=${done.has(id) ? `${words}, all checked` : words} aria-current=${id === chosen ? "true" : nothing} data-part=${id}>
        <rect x=${x} y=${y} width=${width} height=${height} rx="8"></rect>
        ${done.has(id) ? svg`<path class="ticked" d=${`M${x + width - 17} ${y + 10}l4 5 8-9`} />` : nothing}</a>`;
    })}
  </svg>`;
}
