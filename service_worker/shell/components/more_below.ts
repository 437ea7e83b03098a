/** Nothing to tap and no step is under the edge unsaid: the foot tells of it, and leads there. */
import { html, type TemplateResult } from "lit-html";

const TAPPED = ".answer, [data-could-not], .stop ~ .dock .button, fieldset.chips, .dock > .button:not(.quiet)";
const READ = ".how li, .normal";

/** Filled in by measuring, not by rendering: what is in sight changes with every swipe. */
export function moreBelow(): TemplateResult {
  return html`<button class="more-below" type="button" hidden @click=${down}></button>`;
}

export function tellBelow(root: HTMLElement): void {
  const cue = root.querySelector<HTMLButtonElement>(".more-below");
  if (!cue) return;
  const [tapped, read] = [under(TAPPED, footTop()).length, under(READ, coverTop()).length];
  cue.hidden = tapped + read === 0;
  cue.textContent = tapped > 0 ? `${tapped} more below` : "Steps below";
  cue.toggleAttribute("data-lamp", tapped > 0);
}

function down(): void {
  const last = under(TAPPED, footTop()).at(-1);
  if (last) return last.scrollIntoView({ block: "end" });
  const step = under(READ, coverTop()).at(-1);
  if (step) scrollBy(0, step.getBoundingClientRect().bottom - coverTop());
}

/** Those not whole in sight: half a word may be read as another one. */
function under(what: string, lowest: number): HTMLElement[] {
  return [...document.querySelectorAll<HTMLElement>(what)].filter((one) => one.closest("details:not([open])") === null && one.getBoundingClientRect().bottom > lowest + 1);
}

function footTop(): number {
  return document.querySelector("footer")?.getBoundingClientRect().top ?? innerHeight;
}

/** Steps pass under the answers, where these stay while the rest scrolls. */
function coverTop(): number {
  return document.querySelector("#app:not([data-loose]) .dock[data-stick]")?.getBoundingClientRect().top ?? footTop();
}
