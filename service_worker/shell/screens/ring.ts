/** A number to ring with one tap. */
import { html, type TemplateResult } from "lit-html";

export function ringButton(phone: string, words: string): TemplateResult {
  return html`<a class="button wide phone" href=${`tel:${phone.replace(/[^\d+]/g, "")}`}><span>${words}: <span class="number-inline">${phone}</span></span></a>`;
}
