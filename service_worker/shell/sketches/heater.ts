/** The heater and its vent: every part can be tapped. The list under it says the same in words. */
import { html, nothing, svg, type TemplateResult } from "lit-html";

/** A part's place to tap, in units of the drawing. On a screen of 320 px a unit is 0.96 px: 46 units are 44 px. */
type Place = [x: number, y: number, width: number, height: number];

export const PLACES: { [part: string]: Place } = {
  vent_run: [66, 22, 170, 54],
  terminal: [240, 22, 58, 54],
  limit: [112, 84, 56, 48],
  dilution_opening: [18, 112, 64, 48],
  sensing_tube: [142, 136, 64, 46],
  blower: [58, 164, 80, 50],
  condensate_drain: [4, 176, 50, 58],
  pressure_switch: [172, 186, 64, 48],
  tank: [0, 244, 56, 72],
  control: [62, 256, 76, 62],
  wiring: [168, 240, 68, 54],
  gas_valve: [60, 322, 80, 46],
  outlet: [186, 312, 56, 58],
  burner: [40, 372, 58, 48],
  igniter: [102, 372, 60, 48],
  air_intake: [40, 424, 122, 48],
  room: [176, 400, 64, 66],
};

export function heaterDrawing(parts: readonly { id: string; words: string }[], chosen: string | null, done: ReadonlySet<string>, href: (part: string) => string): TemplateResult {
  return html`<svg class="heater" viewBox="0 0 300 480" role="group" aria-label="Drawing of the heater and its vent; each part can be tapped">
    ${LINES}
    ${parts.map(({ id, words }) => {
      const place = PLACES[id];
      if (!place) return nothing;
      const [x, y, width, height] = place;
      return svg`<a class="part" href=${href(id)} aria-label=${done.has(id) ? `${words}, all checked` : words} aria-current=${id === chosen ? "true" : nothing} data-part=${id}>
        <rect x=${x} y=${y} width=${width} height=${height} rx="8"></rect>
        ${done.has(id) ? svg`<path class="ticked" d=${`M${x + width - 17} ${y + 10}l4 5 8-9`} />` : nothing}</a>`;
    })}
  </svg>`;
}

const LINES = svg`<g class="heater-lines" aria-hidden="true">
  <path d="M240 6v466M250 6v466M240 86l10-10M240 126l10-10M240 166l10-10M240 206l10-10M240 246l10-10M240 286l10-10M240 326l10-10M240 386l10-10M240 426l10-10M0 474h296"/>
  <path d="M36 474V232q64-32 128 0v242"/>
  <path d="M80 166v-30M112 166v-30M84 136V68q0-32 32-32h124M108 136V78q0-18 18-18h114"/>
  <path d="M250 36h18v24h-18M268 36l12-8v40l-12-8"/>
  <circle cx="116" cy="108" r="8"/><path d="M124 104h12M124 112h12"/>
  <path d="M84 124H56v26h28M24 137h20l-6-6M44 137l-6 6"/>
  <rect x="60" y="166" width="76" height="46" rx="8"/><circle cx="88" cy="189" r="14"/>
  <path d="M60 202H30v14q0 8-8 8t-8-8v-6"/>
  <path d="M136 178c28 0 10-30 34-30s4 28 22 40"/>
  <rect x="180" y="188" width="48" height="40" rx="20"/>
  <path d="M36 262H22v-10M14 252h16M22 262v52h-8"/>
  <rect x="70" y="262" width="60" height="50" rx="6"/><circle cx="92" cy="287" r="13"/><circle cx="118" cy="274" r="4"/>
  <path d="M130 290h72v-62M160 284v12M174 284v12"/>
  <rect x="74" y="330" width="52" height="30" rx="4"/><path d="M74 345H4M86 338h28"/>
  <rect x="208" y="320" width="28" height="42" rx="4"/><path d="M217 330v9M227 330v9M222 348v5M208 341h-30"/>
  <circle cx="68" cy="396" r="13"/><path d="M62 402q-4-8 3-14 1 6 4 3 3 6 1 11"/>
  <path d="M112 396h8l5-12 7 24 7-24 5 12h8"/>
  <path d="M46 474v-36h108v36M58 444v24M72 444v24M86 444v24M100 444v24M114 444v24M128 444v24M142 444v24"/>
  <text x="208" y="438" text-anchor="middle">room</text>
</g>`;
