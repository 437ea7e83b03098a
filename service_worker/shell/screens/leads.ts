/** From the rules' words to the place where they can be put right: what is missing is one tap away. */
import { html, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import { jobHref, type From, type JobScreen } from "../router";

/** The rules name a check by its need ("Gas off and tagged"), by its finding ("Slope and sags: Water stands in it"), or by both. */
export function checkMeant({ procedure }: JobView, words: string): string | null {
  const said = words.replace(/^Not so now: |^Put right first: |^Not seen again [^:]*: |, seen again since .*$/g, "");
  const needs = [...(procedure?.may_fire ?? []), ...(procedure?.checks.flatMap((check) => check.needs) ?? [])];
  return needs.find((need) => need.words === said)?.check ?? procedure?.checks.find((check) => said.startsWith(`${check.title}:`))?.id ?? null;
}

/** What has to stand in the record, each line leading to its check, and from there back. */
export function missingList(view: JobView, missing: readonly string[], from: From): TemplateResult {
  return html`<ul class="plain leads">${missing.map((words) => html`<li>${lead(view, words, from)}</li>`)}</ul>`;
}

function lead(view: JobView, words: string, from: From, otherwise: JobScreen | null = null): TemplateResult | string {
  const check = checkMeant(view, words);
  const screen = check ? "check" : words.startsWith(KNOWN_FIRST) ? "cause" : (TO_SHOW[words] ?? otherwise);
  return screen ? html`<a class="inline-link" href=${jobHref(view.card.job_id, screen, check ?? undefined, from)}>${words}</a>` : words;
}

/** What a heater was left off for is known once the cause is named. */
const KNOWN_FIRST = "What the heater was left off for";
/** What shows that a heater may be put back. */
const TO_SHOW: { [words: string]: JobScreen } = {
  "Safety first passed at this visit": "walk", "the hot run": "proof", "a hot run that held": "proof", "a hot run noted after its minutes have passed": "proof", "CO in the room after the run, with its number": "proof",
};
const CLOSE: From = ["close"];
const PLACES: { [words: string]: JobScreen } = { "a cause named": "cause", "a repair noted": "repair" };
const LISTS = /^(Unsafe now|Still missing|Found on another visit): (.+?)\.( Leave it off and tag it\.| Look at it again first.+)?$/;
const WHOLE: [reason: RegExp, screen: JobScreen][] = [[/^Leave it off/, "left-off"], [/put it back/, "put-back"], [/^Nothing was repaired/, "repair"], [/hot run/, "proof"]];

/** Why a way to close is shut: a list of things, or one sentence, each leading to where it is put right. */
export function reasonWords(view: JobView, why: string): TemplateResult | string {
  const [, head, things = "", tail] = LISTS.exec(why) ?? [];
  if (!head) return lead(view, why, CLOSE, WHOLE.find(([reason]) => reason.test(why))?.[1] ?? null);
  const screenOf = (words: string): JobScreen | null => (head === "Still missing" ? (PLACES[words] ?? "proof") : null);
  const leads = things.split("; ").map((words) => lead(view, words, CLOSE, screenOf(words)));
  return leads.length === 1 ? html`${head}: ${leads}.${tail}` : html`${head}:<ul class="plain leads">${leads.map((one) => html`<li>${one}</li>`)}</ul>${tail}`;
}
