/** No answer is under the edge unsaid: the foot tells how many are further down, and leads there. */
import { html, type TemplateResult } from "lit-html";

/** Filled in by measuring, not by rendering: what is in sight changes with every swipe. */
export function moreBelow(): TemplateResult {
  return html`<button class="more-below" type="button" hidden @click=${down}></button>`;
}

export function tellBelow(root: HTMLElement): void {
  const cue = root.querySelector<HTMLButtonElement>(".more-below");
  if (!cue) return;
  const hiding = below(root).length;
  cue.hidden = hiding === 0;
  cue.textContent = `${hiding} more below`;
}

function down(): void {
  below(document).at(-1)?.scrollIntoView({ block: "end" });
}

/** Those not whole in sight: half a word may be read as another one. */
function below(within: ParentNode): HTMLElement[] {
  const lowest = document.querySelector("footer")?.getBoundingClientRect().top ?? innerHeight;
  return [...within.querySelectorAll<HTMLElement>(".answer")].filter((one) => one.closest("details:not([open])") === null && one.getBoundingClientRect().bottom > lowest + 1);
}
