/** What was found, as the customer's sheet will say it: trade words tell a householder nothing. */
import type { Procedure } from "../core_types";
import { ANSWERS, SENTENCES, TITLES } from "../generated/plain_words";
import { answerWords, checkTitle } from "./record_read";

/** "End of the vent outside: its screen is clogged"; of a first look for safety a sentence. */
export function plainFound(procedure: Procedure | null, check: string, outcome: string): string {
  const told = `${check} ${outcome}`;
  const sentence = SENTENCES[told];
  if (sentence) return sentence.replace(/\.$/, "");
  return `${TITLES[check] ?? checkTitle(procedure, check)}: ${ANSWERS[told] ?? inside(answerWords(procedure, check, { outcome, could_not: null }))}`;
}

/** Behind a colon: small, but for what is written large everywhere ("T&P", "CO"). As webapp/sites/procedure_words.py has it. */
function inside(words: string): string {
  return /^.[a-z ]/.test(words) ? words.charAt(0).toLowerCase() + words.slice(1) : words;
}
