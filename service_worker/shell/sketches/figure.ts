/**
 * Our own line sketches: what to look at is in the lamp's colour, everything else in plain ink; colours follow the theme.
 *
 * They are data (sketches.json), fetched once from the shell's own cache. A sketch is words for those who cannot see it, and shapes
 * with semicolons between them, on a field of 200 by 120: a path ("M…"), a circle ("o" x y radius) or a rectangle ("r" x y width
 * height rounding). A letter before a shape says what it is: `p` the part to look at, `f` the same filled, `w` water, `d` a direction.
 */
import { signal } from "@preact/signals-core";
import { html, nothing, svg, type SVGTemplateResult, type TemplateResult } from "lit-html";

interface Sketch {
  words: string;
  shapes: string;
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

/** The sketch of that name with its text alternative; nothing where there is none, never a broken picture. */
export function sketchFigure(id: string, title: string): TemplateResult | typeof nothing {
  const sketch = sketches.value[id];
  if (!sketch) return nothing;
  return html`<svg class="sketch" viewBox="0 0 200 120" role="img" aria-label=${`Sketch: ${title.toLowerCase()}. ${sketch.words}`} data-sketch=${id}>${sketch.shapes.split(";").map(shape)}</svg>`;
}

function shape(text: string): SVGTemplateResult {
  const [, kind = "", form, rest = ""] = /^([pfwd]?)([Mor])(.*)$/.exec(text) ?? [];
  const [a, b, c, d, e] = rest.split(" ");
  if (form === "o") return svg`<circle class=${kind} cx=${a} cy=${b} r=${c} />`;
  if (form === "r") return svg`<rect class=${kind} x=${a} y=${b} width=${c} height=${d} rx=${e} />`;
  return svg`<path class=${kind} d=${`M${rest}`} />`;
}
