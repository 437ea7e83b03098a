/** The record so far, newest first, as a logbook reads; tap an answer to answer it again, take back what was never so. And the ways on: note, hunch, cause, repair, hot run, close. */
import { html, nothing, type TemplateResult } from "lit-html";
import { photoButton } from "../components/photo";
import { photoPicture } from "../components/photo_picture";
import { photoWords } from "../components/photo_words";
import { savedStrip } from "../components/strips";
import { verdictMark } from "../components/verdict";
import type { JobView } from "../core_types";
import { jobHref, type JobScreen } from "../router";
import { clockWords, count } from "../words";
import { checkOf } from "./record_read";
import type { Screen, Stage } from "./screen";
import { timelineOf, type Line } from "./timeline";
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
        ${WAYS.map(([screen, words]) => html`<a class="chip" href=${jobHref(view.card.job_id, screen)}>${words}</a>`)} ${photoButton(stage, view, "other", { then: "nothing" })}
      </section>` : nothing}
      ${record.causes_disagree ? html`<p class="strip">Two people named different causes. Both stand.</p>` : nothing}
      ${lines.length === 0 ? html`<p class="empty">Nothing is recorded yet.</p>` : html`<ol class="timeline" reversed>${lines.map((line) => entry(stage, view, line))}</ol>`}
      ${strange > 0 ? html`<p class="soft">${count(strange, "entry", "entries")} from a newer Undercroft: kept, not shown here.</p>` : nothing}`,
  };
}

function entry(stage: Stage, view: JobView, line: Line): TemplateResult {
  const again = line.check !== null && view.card.state === "open" && checkOf(view, line.check) !== null;
  const takeable = line.takeable && view.card.state === "open" && line.by.person_id === stage.core.person.value?.id;
  const words = line.takenBack ? html`<s class="line-words">${line.words}</s>` : html`<span class="line-words">${line.words}</span>`;
  const inside = html`<span class="line-what">${line.what}</span>
    ${words}
    ${line.verdict ? verdictMark(line.verdict) : nothing}
    ${line.replaced ? html`<span class="soft">earlier word</span>` : nothing}
    ${line.takenBack ? html`<span class="soft" data-taken-back>taken back ${clockWords(line.takenBack.at_wall)}</span>` : nothing}
    <span class="line-foot soft">${clockWords(line.by.at_wall)}, ${view.people[line.by.person_id] ?? "someone else"}${again ? html`<span class="again">Answer again</span>` : nothing}</span>`;
  return html`<li class="line">
    ${again ? html`<a class="line-in" href=${jobHref(view.card.job_id, "check", line.check ?? "", ["record"])}>${inside}</a>` : html`<div class="line-in">${inside}</div>`}
    ${takeable ? takeBack(stage, view, line) : nothing}
    ${line.photo ? html`${photoPicture(stage, line.photo, `${line.what} ${line.words}`)}${view.card.state === "open" ? photoWords(stage, view, { sha256: line.photo }) : nothing}` : nothing}
  </li>`;
}

/** Asked once: it counts no more at once, and nothing brings it back but noting it anew. */
function takeBack(stage: Stage, view: JobView, { by, what, words, photo }: Line): TemplateResult {
  const asked = stage.local<string | null>("take back", null);
  const isAsked = asked.value === by.event_id;
  const ask = (): void => void (asked.value = isAsked ? null : by.event_id);
  const named = [what, words].filter(Boolean).join(", ");
  const take = (): void => void stage.act(view, [{ kind: "withdrawn", body: {}, replaces: [by.event_id], ...(photo ? { whole: true } : {}) }], `taken back: ${named}`);
  return html`<button class="button quiet take-back" type="button" data-take-back=${by.event_id} aria-expanded=${String(isAsked)} aria-label=${`Take back: ${named}`} @click=${ask}>Take back</button>
    ${isAsked ? html`<div class="strip" data-kind="caution" role="alert"><p>${photo ? html`<strong>Taken by mistake?</strong> Then no page and no sheet shows it any more. The job's log keeps that it was taken.` : html`<strong>Was it not so?</strong> Then it counts no more. The line stays, struck through, for whoever comes next.`}</p>
      <div class="pair"><button class="button" type="button" @click=${ask}>Keep it</button><button class="button" type="button" data-take-it-back ?disabled=${stage.busy.value} @click=${take}>Take it back</button></div></div>` : nothing}`;
}
