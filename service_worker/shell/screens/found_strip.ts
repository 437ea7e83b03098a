/** What another visit found unsafe, over every screen of the walk. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { Danger, FoundHere, JobView } from "../core_types";
import { jobHref, type Route } from "../router";
import { shortClockWords } from "../words";
import { sinceWords } from "./found_elsewhere";
import { otherCalls } from "./other_calls";
import type { Stage } from "./screen";

/** In a line or two, with the way to look again; the job's own page and the stop screen say it themselves. */
export function foundStrips(stage: Stage, view: JobView): TemplateResult[] {
  const calls = stage.route.name === "home" || view.card.state !== "open" ? [] : otherCalls(view);
  return [...theirs(stage, view), ...seenAgain(stage, view), ...calls.map((call) => calledStrip(stage.route, view, call))];
}

function seenAgain({ route }: Stage, view: JobView): TemplateResult[] {
  const [first, ...more] = view.card.state === "closed" || (route.name === "walk" && view.advice?.gate.state === "stopped") ? [] : seenAgainWords(view);
  return first ? [html`<p class="visit-strip" data-seen-again><span><strong>Another visit:</strong> ${first}${more.length > 0 ? `, and ${more.length} more` : ""}.<span class="can-fold"> Nobody noted what put it right.</span></span></p>`] : [];
}

/** An earlier visit that is not closed saw it unsafe, then otherwise: it stops nobody, and whoever measures next knows it. "CO in the room: Leave now, 90 ppm 06:16, then Acceptable, 2 ppm." */
function seenAgainWords({ history }: JobView): string[] {
  return history.filter((visit) => visit.closed_wall === null).flatMap(({ looked_again = [] }) => looked_again) // an entry that an older shell made has none
    .map((one) => `${one.found_words === one.title ? "" : `${one.title}: `}${one.found_words} ${shortClockWords(one.found_by.at_wall)}, then ${one.now_words}`);
}

function theirs(stage: Stage, view: JobView): TemplateResult[] {
  const [first, ...rest] = view.elsewhere.filter((one) => !one.other_heater);
  const { route } = stage;
  const isSaid = route.name === "home" || (route.name === "walk" && view.advice?.gate.state === "stopped");
  if (!first || isSaid || view.card.state !== "open") return [];
  const who = view.people[first.person_id];
  const way = wayOn(route, view, first);
  return [html`<p class="visit-strip" data-kind="bad" data-elsewhere role="status"><span><strong>Another visit: ${first.stop_words ? "stop" : "unsafe"}. ${first.words}</strong> (${shortClockWords(first.wall)}${who ? `, ${who}` : ""})${rest.length > 0 ? ` and ${rest.length} more` : ""}.<span class="can-fold"> ${first.stop_words ?? sinceWords(first.repaired)}</span></span>
    ${way ? html`<a class="visit-way" href=${way.href}>${way.words}</a>` : nothing}</p>`];
}

/** It stands until each of what was called in has been looked into anew; the way leads to the first that has not. */
function calledStrip(route: Route, view: JobView, { words, check }: Danger): TemplateResult {
  return html`<p class="visit-strip" data-kind="bad" data-other-call role="status"><span><strong>${words}.</strong><span class="can-fold"> It stands until each is answered anew.</span></span>
    ${check === askedNow(route, view) ? nothing : html`<a class="visit-way" href=${jobHref(view.card.job_id, "check", check)}>Ask again</a>`}</p>`;
}

function askedNow(route: Route, { advice }: JobView): string | null | undefined {
  return route.name === "check" ? route.arg : route.name === "walk" ? advice?.gate.next_check : null;
}

/** What to do comes before another look; where one stands at the check already, there is no way to it. */
function wayOn(route: Route, view: JobView, { look, stop_words }: FoundHere): { href: string; words: string } | null {
  const { card, advice } = view;
  const stopped = advice?.gate.state === "stopped";
  if (!look || look === askedNow(route, view)) return null;
  return stopped && stop_words !== null ? { href: jobHref(card.job_id, "walk"), words: "What to do now" } : { href: jobHref(card.job_id, "check", look), words: "Look again" };
}
