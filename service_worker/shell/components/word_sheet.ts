/** What a word of the trade means, over the foot of the screen. A modal dialog of the browser's own: it holds the focus, and Escape closes it. */
import { html, nothing, render } from "lit-html";
import type { Word } from "../generated/glossary";

/** The screen below it is not touched: no half typed figure is lost, no answer waits for it. */
export function openWord(word: Word, opener: HTMLElement): void {
  const sheet = document.createElement("dialog");
  sheet.className = "word-sheet";
  sheet.setAttribute("aria-labelledby", "word-term");
  sheet.setAttribute("aria-describedby", "word-words");
  const close = (): void => sheet.close();
  render(html`<div class="word-in"><h2 id="word-term">${word.term}</h2>
    <div id="word-words">${meaning(word)}</div>
    <p class="word-close"><button class="button wide tall" type="button" data-word-close @click=${close}>Close</button></p></div>`, sheet);
  sheet.addEventListener("click", ({ target }) => target === sheet && close()); // beside it
  addEventListener("hashchange", close);
  sheet.addEventListener("close", () => {
    removeEventListener("hashchange", close);
    sheet.remove();
    focusAgain(opener);
  });
  document.body.append(sheet);
  sheet.showModal();
}

/** One entry as it reads in the sheet and in the list of all words. */
export function meaning({ also, words, source }: Word): ReturnType<typeof html> {
  return html`${also ? html`<p class="soft">Also: ${also}</p>` : nothing}<p>${words}</p>${source ? html`<p class="soft">Source: ${source}</p>` : nothing}`;
}

/** Back to the word; where the screen has changed meanwhile, to its heading. */
function focusAgain(opener: HTMLElement): void {
  const target = opener.isConnected ? opener : document.querySelector<HTMLElement>("h1");
  target?.focus({ preventScroll: true });
}
