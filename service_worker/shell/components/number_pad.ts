/** Our own number pad: three keys to the width, the unit on it, a sign key where a sign can be. Warns, never corrects. */
import { html, nothing, type TemplateResult } from "lit-html";
import { worded } from "../screens/later";

export interface PadAsk {
  words: string;
  unit: string;
  typed: string;
  signed: boolean;
  whole: boolean;
  warning: string | null;
  /** more digits than anything that measures this can show: not kept, and said what to do */
  beyond?: string | null;
  unusual?: string | null;
  /** meters of resistance: the key for a display that shows no continuity */
  openLine?: (() => void) | null;
  /** a figure that need not be typed: the maker's, from the company's sheet */
  offer?: { words: string; onTake: () => void } | null;
  /** earlier readings of the same thing at this address */
  beside: readonly string[];
  /** which of several instruments it is taken with */
  which?: TemplateResult | typeof nothing;
  onTyped(typed: string): void;
  onDone(value: number): void;
  onCancel(): void;
}

/** The pad that is open: for which figure, and what stands on it. */
export interface Pad<Field extends string = string> {
  field: Field;
  text: string;
}

const MOST_DIGITS = 9;

export function numberPad(ask: PadAsk): TemplateResult {
  const value = valueOf(ask.typed);
  const seen = new Set<string>();
  return html`<section class="pad" aria-label=${ask.words}>
    <h2 class="pad-words">${worded(ask.words, seen)}</h2>
    ${ask.which ?? nothing} ${ask.beside.map((line) => html`<p class="beside">${line}</p>`)}
    <div class="pad-top">
      <p class="pad-shown" role="status">
        <span class="number" data-typed>${ask.typed.replace("-", "−") || "–"}</span> <span class="pad-unit">${worded(ask.unit, seen)}</span>
      </p>
      ${ask.signed ? key(ask, "−/+", "sign", "change the sign") : nothing}
      ${ask.openLine ? html`<button class="pad-key" type="button" data-key="OL" @click=${ask.openLine}>OL<span class="pad-small">no continuity</span></button>` : nothing}
    </div>
    ${ask.beyond || ask.warning ? html`<p class="strip" data-kind="bad" role="alert">${ask.beyond || ask.warning}</p>` : nothing}
    ${ask.unusual ? html`<p class="beside" role="status">${ask.unusual}</p>` : nothing}
    ${ask.offer ? html`<button class="button wide" type="button" data-offer @click=${ask.offer.onTake}>${ask.offer.words}</button>` : nothing}
    <div class="pad-keys">
      ${[..."123456789"].map((digit) => key(ask, digit, digit))}
      ${ask.whole ? html`<span></span>` : key(ask, ".", ".", "point")}
      ${key(ask, "0", "0")}
      ${key(ask, "⌫", "rub", "rub out the last")}
    </div>
    <div class="pair">
      <button class="button" type="button" data-pad-cancel @click=${() => ask.onCancel()}>Leave it</button>
      <button class="button" type="button" data-pad-done data-lamp ?disabled=${value === null || Boolean(ask.beyond)} @click=${() => value !== null && ask.onDone(value)}>
        ${ask.warning && !ask.beyond ? "Keep as typed" : "Done"}
      </button>
    </div>
  </section>`;
}

function key(ask: PadAsk, face: string, press: string, name?: string): TemplateResult {
  return html`<button class="pad-key" type="button" data-key=${press} aria-label=${name ?? face} @click=${() => ask.onTyped(pressed(ask.typed, press))}>${face}</button>`;
}

/** What stands on the pad after one key more. */
export function pressed(typed: string, press: string): string {
  if (press === "rub") return typed.slice(0, -1) === "-" ? "" : typed.slice(0, -1);
  if (press === "sign") return typed.startsWith("-") ? typed.slice(1) : `-${typed}`;
  if (press === ".") return typed.includes(".") ? typed : `${typed === "" || typed === "-" ? `${typed}0` : typed}.`;
  if (typed.replace(/\D/g, "").length >= MOST_DIGITS) return typed;
  return typed === "0" || typed === "-0" ? typed.slice(0, -1) + press : typed + press;
}

export function valueOf(typed: string): number | null {
  const value = Number(typed);
  return typed === "" || typed === "-" || Number.isNaN(value) ? null : value + 0;
}

/** A figure outside of what the instrument or the trade can show is asked about once more; it is never changed. */
export function rangeWarning(value: number | null, low: number | null, high: number | null, unit: string): string | null {
  if (value === null || low === null || high === null || (value >= low && value <= high)) return null;
  return `Outside ${`${low} to ${high} ${unit}`.trimEnd()}. Look at the point, the sign and the unit again.`.replaceAll("-", "−");
}

/** With more digits before the point than its widest reading it is no reading at all. What was typed stands to be put right; nothing is cut off. */
export function beyondAnyMeter(value: number | null, low: number | null, high: number | null, unit: string): string | null {
  if (value === null || low === null || high === null) return null;
  const most = Math.max(Math.abs(low), Math.abs(high));
  if (wholeDigits(value) <= wholeDigits(most)) return null;
  return `No meter shows this: ${`${most} ${unit}`.trimEnd()} is the most. Rub out, look at the point and the unit. No reading today? Leave it, then “Could not check”.`;
}

function wholeDigits(value: number): number {
  return String(Math.trunc(Math.abs(value))).length;
}
