/** A signature, drawn with a finger: one path of M and L in whole numbers, in a box of 600 by 200, never longer than what the office takes. */
import { html, type TemplateResult } from "lit-html";

export const BOX = { width: 600, height: 200 };
export const MOST_LETTERS = 20_000;
const STEP = 4; // in units of the box: nearer points are one

type Point = [x: number, y: number];

/** Strokes as a path. A dot is a line to itself. Too long a path loses every other point until it fits. */
export function pathOf(strokes: readonly (readonly Point[])[]): string {
  let thinned = strokes.filter((stroke) => stroke.length > 0);
  for (;;) {
    const path = thinned.map(strokeText).join("");
    if (path.length <= MOST_LETTERS) return path;
    if (thinned.every((stroke) => stroke.length <= 2)) return path.slice(0, path.lastIndexOf("M", MOST_LETTERS)); // thousands of dots: the last ones go
    thinned = thinned.map((stroke) => stroke.filter((_, i) => i % 2 === 0 || i === stroke.length - 1));
  }
}

function strokeText(stroke: readonly Point[]): string {
  const [first, ...rest] = stroke;
  if (!first) return "";
  return `M${first.join(" ")}${(rest.length > 0 ? rest : [first]).map((point) => `L${point.join(" ")}`).join("")}`;
}

/** A place on the pad in units of the box, kept inside it. */
export function inBox(x: number, y: number, on: { left: number; top: number; width: number; height: number }): Point {
  const within = (part: number, whole: number, most: number): number => Math.min(most, Math.max(0, Math.round((part / whole) * most)));
  return [within(x - on.left, on.width, BOX.width), within(y - on.top, on.height, BOX.height)];
}

/** Whether a point is far enough from the last one to be worth keeping. */
export function isWorthIt(last: Point | undefined, [x, y]: Point): boolean {
  return !last || Math.abs(last[0] - x) + Math.abs(last[1] - y) >= STEP;
}

export function signaturePad(path: string, onPath: (path: string) => void): TemplateResult {
  return html`<div class="signature"><svg class="signature-pad" viewBox=${`0 0 ${BOX.width} ${BOX.height}`} role="img" aria-label=${path ? "A signature stands here" : "Sign here with a finger"} data-signature
      @pointerdown=${(event: PointerEvent) => draw(event, path, onPath)}><path d="M40 160h520" class="signature-line" /><path class="signature-ink" d=${path || "M0 0"} /></svg>
    <button class="button quiet" type="button" ?disabled=${path === ""} @click=${() => onPath("")}>Wipe</button></div>`;
}

/** One stroke, drawn straight into the picture; the screen hears of it when the finger lifts. */
function draw(down: PointerEvent, before: string, onPath: (path: string) => void): void {
  const pad = down.currentTarget as SVGSVGElement;
  const ink = pad.querySelector(".signature-ink");
  const on = pad.getBoundingClientRect();
  const stroke: Point[] = [inBox(down.clientX, down.clientY, on)];
  pad.setPointerCapture(down.pointerId);
  const move = (event: PointerEvent): void => {
    const point = inBox(event.clientX, event.clientY, on);
    if (!isWorthIt(stroke.at(-1), point)) return;
    stroke.push(point);
    ink?.setAttribute("d", before + pathOf([stroke]));
  };
  const up = (): void => {
    pad.removeEventListener("pointermove", move);
    onPath(pathOf([...strokesOf(before), stroke]));
  };
  pad.addEventListener("pointermove", move);
  pad.addEventListener("pointerup", up, { once: true });
  pad.addEventListener("pointercancel", up, { once: true });
}

export function strokesOf(path: string): Point[][] {
  return path.split("M").filter(Boolean).map((stroke) => stroke.split("L").map((point) => point.split(" ").map(Number) as Point));
}
