/** Eye, hand, meter, gauge, analyser: which one is asked now, and how many checks are left in each. */
import { html, svg, type SVGTemplateResult, type TemplateResult } from "lit-html";
import { SENSE_WORDS } from "../words";

const ICONS: { [sense: string]: SVGTemplateResult } = {
  eye: svg`<path d="M2 12c4-7 16-7 20 0-4 7-16 7-20 0Z"/><circle cx="12" cy="12" r="3"/>`,
  hand: svg`<path d="M7 13V6.5a1.5 1.5 0 0 1 3 0V4.5a1.5 1.5 0 0 1 3 0V6a1.5 1.5 0 0 1 3 0v3a1.5 1.5 0 0 1 3 0v5c0 5-3 7-6 7-4 0-6-2-9-7.5a1.6 1.6 0 0 1 3-.5Z"/>`,
  meter: svg`<rect x="5" y="2" width="14" height="20" rx="2"/><path d="M8 6h8v4H8zM12 14v4M10 16h4"/>`,
  gauge: svg`<circle cx="12" cy="12" r="9.5"/><path d="M12 12l4-5M5 14h2M17 14h2M12 4.5V6"/>`,
  analyser: svg`<rect x="7" y="2" width="12" height="15" rx="2"/><path d="M10 6h6M10 9.5h6M13 17v5M4 22c0-4 1-5 3-8"/>`,
};

export function senseIcon(sense: string): TemplateResult {
  return html`<svg class="icon" viewBox="0 0 24 24" aria-hidden="true" focusable="false">${ICONS[sense] ?? ""}</svg>`;
}

export function senseStrip(left: readonly { sense: string; count: number }[], now: string | null): TemplateResult {
  return html`<ul class="senses" aria-label="Checks left, by what they need">
    ${left.map(({ sense, count }) => html`<li ?data-now=${sense === now} ?data-done=${count === 0}>
      ${senseIcon(sense)}<span class="sense-left">${count}</span>
      <span class="sense-word">${SENSE_WORDS[sense] ?? sense}</span>
      ${sense === now ? html`<span class="out-of-sight">, asked now</span>` : ""}
    </li>`)}
  </ul>`;
}
