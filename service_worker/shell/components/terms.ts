/** The trade's words inside a text: the first of each on a screen can be tapped and says what it means. Of the second part. */
import { html, type TemplateResult } from "lit-html";
import { GLOSSARY, type Word } from "../generated/glossary";
import { openWord } from "./word_sheet";

/** How a word stands in a text: "to the [tap]" is `tap`, with "to the " before it. */
interface Mark {
  before: string;
  core: string;
  after: string;
  word: Word;
}

type Piece = string | { text: string; word: Word };

const MARKS = GLOSSARY.flatMap((word) => word.marks.map((mark) => markOf(mark, word)));
const LETTER = "[\\p{L}\\p{N}]";
/** Longest first. What must stand around it is looked at afterwards: lookarounds for each would cost a tenth of a frame. */
const CORES = new RegExp(`(?<!${LETTER}-?)(?:${alternatives()})(?!${LETTER})`, "gu");
const pieces = new Map<string, Piece[]>();

/** The text, each word that `seen` does not hold yet as something to tap. */
export function withTerms(text: string, seen: Set<string>): TemplateResult | string {
  let cut = pieces.get(text);
  if (!cut) pieces.set(text, (cut = piecesOf(text)));
  if (cut.length === 1) return text;
  return html`${cut.map((piece) => (typeof piece === "string" ? piece : seen.has(piece.word.term) ? piece.text : term(piece.text, piece.word, seen)))}`;
}

function term(text: string, word: Word, seen: Set<string>): TemplateResult {
  seen.add(word.term);
  const open = (event: Event): void => openWord(word, event.currentTarget as HTMLElement);
  const key = (event: KeyboardEvent): void => {
    if (event.key !== "Enter" && event.key !== " ") return;
    event.preventDefault(); // the space bar would scroll
    open(event);
  };
  return html`<a class="term" role="button" tabindex="0" aria-haspopup="dialog" data-term=${word.term} @click=${open} @keydown=${key}>${text}</a>`;
}

function piecesOf(text: string): Piece[] {
  const found: Piece[] = [];
  let from = 0;
  for (const { 0: core, index } of text.matchAll(CORES)) {
    const word = MARKS.find((mark) => stands(mark, text, core, index))?.word;
    if (!word) continue;
    found.push(text.slice(from, index), { text: core, word });
    from = index + core.length;
  }
  return [...found, text.slice(from)];
}

function stands({ before, core, after }: Mark, text: string, found: string, index: number): boolean {
  const end = index + found.length;
  return (core === found || core === small(found)) && small(text.slice(0, index)).endsWith(small(before)) && text.slice(end).startsWith(after);
}

function markOf(mark: string, word: Word): Mark {
  const [, before = "", core = mark, after = ""] = /^(.*)\[(.+)\](.*)$/.exec(mark) ?? [];
  return { before, core, after, word };
}

/** In small letters it is found at the start of a sentence too; with a capital as it is written. */
function alternatives(): string {
  const cores = [...new Set(MARKS.map((mark) => mark.core))].sort((a, b) => b.length - a.length);
  return cores.map((core) => core.replace(/[./]/g, "\\$&").replace(/^[a-z]/, (first) => (core === small(core) ? `[${first}${first.toUpperCase()}]` : first))).join("|");
}

function small(text: string): string {
  return text.toLowerCase();
}
