/** Two instruments of one kind: the technician taps the one in hand, and the phone remembers it for the next reading. */
import { html, type TemplateResult } from "lit-html";
import type { Record_ } from "../core_types";
import { instrumentWords, KIND_WORDS } from "./instruments";
import type { Stage } from "./screen";

type Carried = Record_["instruments"][number];

export function whichInstrument(stage: Stage, fitting: readonly Carried[]): TemplateResult {
  const { tapped_instruments: tapped = [] } = stage.core.own.value;
  const ids = fitting.map(({ instrument_id }) => instrument_id);
  const tap = (id: string): void => void stage.core.keepOwn({ tapped_instruments: [id, ...tapped.filter((one) => !ids.includes(one))] });
  const kind = fitting[0] ? KIND_WORDS[fitting[0].instrument_kind] : "";
  return html`<div class="which" role="group" aria-label=${`With which ${kind.toLowerCase()}`}><span>${tapped.some((one) => ids.includes(one)) ? "With" : "With which?"}</span>
    ${fitting.map((one, n) => html`<button class="chip" type="button" data-which-instrument=${one.instrument_id} aria-pressed=${String(tapped.includes(one.instrument_id))} aria-label=${instrumentWords(one)} @click=${() => tap(one.instrument_id)}><span>${one.serial_words || `${kind} ${n + 1}`}</span></button>`)}</div>`;
}
