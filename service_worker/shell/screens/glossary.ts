/** All words of the trade, from A to Z: read through, or found by a few letters. */
import { html } from "lit-html";
import { meaning } from "../components/word_sheet";
import { GLOSSARY, type Word } from "../generated/glossary";
import { count } from "../words";
import type { Screen, Stage } from "./screen";

export function glossaryScreen(stage: Stage): Screen {
  const sought = stage.local("word sought", "");
  const found = GLOSSARY.filter((word) => fits(word, sought.value.trim().toLowerCase()));
  return {
    title: "Words", key: "words",
    body: html`<h1 tabindex="-1">Words of the trade</h1>
      <p class="soft">What they mean, and nothing to do. What is printed on the heater, the maker's sheet and local code rule. Where no source is named, it is common practice.</p>
      <div class="field"><label for="word-sought">Find a word</label>
        <input id="word-sought" type="search" autocomplete="off" spellcheck="false" maxlength="40" .value=${sought.value}
          @input=${(event: Event) => (sought.value = (event.target as HTMLInputElement).value)} /></div>
      <p class="out-of-sight" role="status">${count(found.length, "word")}</p>
      ${found.length === 0 ? html`<p class="empty">No such word here. Ask the office, and tell it that the word is missing.</p>`
        : html`<dl class="word-list">${found.map((word) => html`<div data-word=${word.term}><dt>${word.term}</dt><dd>${meaning(word)}</dd></div>`)}</dl>`}`,
  };
}

/** By the word itself, its other names, and how it stands in the checks. */
function fits({ term, also, marks }: Word, sought: string): boolean {
  return [term, also ?? "", ...marks].some((name) => name.replace(/[[\]]/g, "").toLowerCase().includes(sought));
}
