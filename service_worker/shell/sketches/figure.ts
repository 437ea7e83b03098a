/**
 * Our own line sketches: what to look at is in the lamp's colour, everything else in plain ink; colours follow the theme.
 *
 * They are data (sketches.json), fetched once from the shell's own cache. A sketch is words for those who cannot see it, and shapes
 * with semicolons between them, on a field of 200 by 120 (a whole heater: 300 by 480, see heater.ts): a path ("M…"), a circle ("o"
 * x y radius), a rectangle ("r" x y width height rounding) or a word ("t" x y word). A letter before a shape says what it is: `p` the
 * part to look at, `f` the same filled, `w` water, `d` a direction.
 */
import { signal } from "@preact/signals-core";
import { html, nothing, svg, type SVGTemplateResult, type TemplateResult } from "lit-html";

interface Sketch {
  words: string;
  shapes: string;
  places?: { [part: string]: [x: number, y: number, width: number, height: number] };
}

const sketches = signal<{ [id: string]: Sketch }>({});

/** Without them every screen still says what it has to say: a failure here is no fault to show. */
export async function loadSketches(url: string): Promise<void> {
  try {
    const answer = await fetch(url);
    if (answer.ok) sketches.value = (await answer.json()) as { [id: string]: Sketch };
  } catch {
    // no sketches this time
  }
}

export function sketchOf(id: string): Sketch | undefined {
  return sketches.value[id];
}

export function shapesOf(sketch: Sketch): SVGTemplateResult[] {
  return sketch.shapes.split(";").map(shape);
}

/** The sketch of that name with its text alternative; nothing where there is none, never a broken picture. */
export function sketchFigure(id: string, title: string): TemplateResult | typeof nothing {
  const sketch = sketchOf(id);
  if (!sketch) return nothing;
  return html`<svg class="sketch" viewBox="0 0 200 120" role="img" aria-label=${`Sketch: ${title.toLowerCase()}. ${sketch.words}`} data-sketch=${id}>${shapesOf(sketch)}</svg>`;
}

function shape(text: string): SVGTemplateResult {
  const [, kind = "", form, rest = ""] = /^([pfwd]?)([Mort])(.*)$/.exec(text) ?? [];
  const [a, b, c, d, e] = rest.split(" ");
  if (form === "o") return svg`<circle class=${kind} cx=${a} cy=${b} r=${c} />`;
  if (form === "r") return svg`<rect class=${kind} x=${a} y=${b} width=${c} height=${d} rx=${e} />`;
  if (form === "t") return svg`<text x=${a} y=${b} text-anchor="middle">${c}</text>`;
  return svg`<path class=${kind} d=${`M${rest}`} />`;
}
