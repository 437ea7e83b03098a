/** The record so far, newest first, as a logbook reads; tap an answer to answer it again. And the ways on: note, hunch, cause, repair, hot run, close. */
import { html, nothing, type TemplateResult } from "lit-html";
import { photoButton } from "../components/photo";
import { photoPicture } from "../components/photo_picture";
import { savedStrip } from "../components/strips";
import { verdictMark } from "../components/verdict";
import type { JobView } from "../core_types";
import { jobHref, type JobScreen } from "../router";
import { clockWords, count } from "../words";
import { checkOf, timelineOf, type Line } from "./record_read";
import type { Screen, Stage } from "./screen";
import { nextStep } from "./walk";

const WAYS: [screen: JobScreen, words: string][] = [
  ["note", "A note"], ["heater", "The heater"], ["agreed", "What was agreed"], ["hunch", "A hunch"], ["cause", "The cause"], ["repair", "A repair or part"], ["proof", "A hot run"], ["left-off", "Left off and tagged"], ["close", "Close the job"],
];

export function recordScreen(stage: Stage, view: JobView): Screen {
  const lines = timelineOf(view).reverse();
  const { record } = view;
  const strange = record.unknown.reduce((sum, one) => sum + one.count, 0) + record.unreadable.length;
  const step = nextStep(view);
  return {
    title: "The record", key: "record",
    body: html`${savedStrip(stage, view)}
      <h1 tabindex="-1">The record</h1>
      ${view.card.state === "open" ? html`<section class="chips" aria-label="Add to the record">
        ${step && record.causes.length > 0 ? html`<a class="button wide tall" data-lamp href=${jobHref(view.card.job_id, step.screen)}>${step.words}</a>` : nothing}
        ${WAYS.map(([screen, words]) => html`<a class="chip" href=${jobHref(view.card.job_id, screen)}>${words}</a>`)} ${photoButton(stage, view, null, "A photo")}
      </section>` : nothing}
      ${record.causes_disagree ? html`<p class="strip">Two people named different causes. Both stand.</p>` : nothing}
      ${lines.length === 0 ? html`<p class="empty">Nothing is recorded yet.</p>` : html`<ol class="timeline" reversed>${lines.map((line) => entry(stage, view, line))}</ol>`}
      ${strange > 0 ? html`<p class="soft">${count(strange, "entry", "entries")} from a newer Undercroft: kept, not shown here.</p>` : nothing}`,
  };
}

function entry(stage: Stage, view: JobView, line: Line): TemplateResult {
  const again = line.check !== null && view.card.state === "open" && checkOf(view, line.check) !== null;
  const inside = html`<span class="line-what">${line.what}</span>
    <span class="line-words">${line.words}</span>
    ${line.verdict ? verdictMark(line.verdict) : nothing}
    ${line.replaced ? html`<span class="soft">earlier word</span>` : nothing}
    <span class="line-foot soft">${clockWords(line.by.at_wall)}, ${view.people[line.by.person_id] ?? "someone else"}${again ? html`<span class="again">Answer again</span>` : nothing}</span>`;
  return html`<li class="line">
    ${again ? html`<a class="line-in" href=${jobHref(view.card.job_id, "check", line.check ?? "")}>${inside}</a>` : html`<div class="line-in">${inside}</div>`}
    ${line.photo ? photoPicture(stage, line.photo, line.words) : nothing}
  </li>`;
}
