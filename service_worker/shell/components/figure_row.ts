/** A figure that can be typed: its words, what stands, its unit. */
import { html, nothing, type TemplateResult } from "lit-html";
import { numberWords } from "../words";

/** A figure as it stands on the screen; "OL" is a meter that shows no continuity: no number, and an answer all the same. */
export type Figure = number | "OL";

export function figureRow(field: { id: string; words: string; unit: string; aside: string; remark?: string | null }, figure: Figure | null, onOpen: () => void): TemplateResult {
  return html`<li><button class="figure" type="button" data-figure=${field.id} @click=${onOpen}>
    <span>${field.words}${field.aside ? html` <span class="soft">(${field.aside})</span>` : nothing}</span>
    <span class="figure-value">${figure === null ? html`<span class="soft">type it</span>` : html`<strong>${figure === "OL" ? figure : numberWords(figure)}</strong> ${figure === "OL" ? "no continuity" : field.unit}`}</span>
  </button>${field.remark ? html`<p class="beside" data-remark=${field.id}>${field.remark}</p>` : nothing}</li>`;
}
