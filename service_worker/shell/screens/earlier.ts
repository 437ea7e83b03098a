/** What this address already told: earlier visits, each as found → done → did it hold → never measured. */
import { html, nothing, type TemplateResult } from "lit-html";
import { verdictMark } from "../components/verdict";
import type { HistoryEntry, JobView } from "../core_types";
import { clockWords, closeWords, count, dayWords, readingWords } from "../words";
import { SHOWN_AT_ONCE, whenOf } from "./beside";

const NEVER_MOST = 6;
const DAY_MS = 86_400_000;

/** Newest first; the two newest in full, the rest folded away. */
export function earlierVisits(view: JobView): TemplateResult | typeof nothing {
  const { history } = view;
  if (history.length === 0) return html`<h2>Earlier visits</h2><p class="soft">${view.card.visits_before > 0 ? `${count(view.card.visits_before, "visit")} before: being read…` : "None at this address that we know of."}</p>`;
  const [now, more] = [history.slice(0, SHOWN_AT_ONCE), history.slice(SHOWN_AT_ONCE)];
  return html`<h2>Earlier visits</h2>
    <ol class="visits">${now.map((visit) => html`<li>${visitCard(view, visit)}</li>`)}</ol>
    ${more.length > 0 ? html`<details class="more"><summary>${count(more.length, "older visit")}</summary><ol class="visits">${more.map((visit) => html`<li>${visitCard(view, visit)}</li>`)}</ol></details>` : nothing}`;
}

function visitCard(view: JobView, visit: HistoryEntry): TemplateResult {
  const who = visit.people.map((id) => view.people[id]).filter((name) => name !== undefined).join(", ");
  return html`<article class="visit">
    <h3>${dayWords(whenOf(visit))}${who ? html`<span class="visit-who soft"> ${who}</span>` : nothing}</h3>
    ${visit.complaint_words ? html`<p class="soft">“${visit.complaint_words}”</p>` : nothing}
    ${isBegun(visit) ? whatCame(view, visit) : html`<p>Nobody has been there for this call.</p>`}
  </article>`;
}

function isBegun(visit: HistoryEntry): boolean {
  return visit.opened_wall !== null || visit.closed_wall !== null || visit.people.length > 0;
}

function whatCame(view: JobView, visit: HistoryEntry): TemplateResult {
  return html`<dl>
      <div><dt>Found</dt><dd>${foundWords(view, visit)}</dd></div>
      <div><dt>Done</dt><dd>${doneWords(visit)}</dd></div>
      <div><dt>Did it hold</dt><dd>${heldMark(view, visit)}</dd></div>
      ${visit.readings.length > 0 ? html`<div><dt>Measured</dt><dd>${visit.readings.map((one) => html`<span class="line-of">${one.words}: <strong>${readingWords(one.value, one.quantity)}</strong></span>`)}</dd></div>` : nothing}
      ${visit.never_measured.length > 0 ? html`<div><dt>Never measured</dt><dd>${neverWords(visit)}</dd></div>` : nothing}
      ${visit.notes.length > 0 ? html`<div><dt>Noted</dt><dd>${visit.notes.map((note) => html`<span class="line-of">${note}</span>`)}</dd></div>` : nothing}
    </dl>`;
}

function foundWords(view: JobView, visit: HistoryEntry): TemplateResult {
  const codeCheck = view.procedure?.checks.find((check) => check.from_event === "code_read")?.id;
  const code = visit.code_words.length > 0 ? html`<span class="line-of">Code: ${visit.code_words.join("; ")}</span>` : nothing;
  return html`${visit.cause_words ? html`<span class="line-of"><strong>${visit.cause_words}</strong></span>` : nothing}
    ${visit.found.filter((line) => line.check !== codeCheck).map((line) => html`<span class="line-of">${line.title}: ${verdictMark(line.verdict ?? "cannot_tell", line.words)}</span>`)}
    ${(visit.looked_again ?? []).map((one) => html`<span class="line-of" data-looked-again>${one.title}: ${verdictMark("bad", one.found_words)} ${clockWords(one.found_by.at_wall)}, then ${one.now_words} ${clockWords(one.now_by.at_wall)}; ${one.since_words ?? "nobody noted what put it right"}</span>`)}
    ${(visit.corrected ?? []).map((one) => html`<span class="line-of soft" data-corrected>${one.title} was noted as ${one.was} at ${clockWords(one.wall)}, ${one.now === null ? "taken back" : `corrected to ${one.now}`} at ${clockWords(one.now_wall)}</span>`)}
    ${code}
    ${!visit.cause_words && visit.found.length === 0 ? "no cause named" : nothing}`;
}

function doneWords(visit: HistoryEntry): TemplateResult {
  const lines = [...visit.done.map((one) => one.words), ...visit.parts, ...visit.left_off.map((words) => `Left off: ${words}`)];
  return html`${lines.length === 0 ? "nothing noted" : lines.map((words) => html`<span class="line-of">${words}</span>`)}`;
}

/** The visit's own proof; and that we are here again, which says it in its own way. */
function heldMark(view: JobView, visit: HistoryEntry): TemplateResult {
  const days = daysBetween(whenOf(visit), view.card.booked_at);
  const verdict = { passed: "good", doubtful: "doubtful", failed: "bad", none: "not_checked" } as const;
  return html`${verdictMark(verdict[visit.proof.result], visit.proof.words)}
    ${visit.close_state ? html`<span class="line-of soft">Closed: ${closeWords(visit.close_state).toLowerCase()}</span>` : html`<span class="line-of soft">Not closed</span>`}
    ${visit === view.history[0] && days !== null ? html`<span class="line-of">Called again after ${count(days, "day")}.</span>` : nothing}`;
}

function daysBetween(from: string | null, to: string | null): number | null {
  const days = Math.floor((Date.parse(to ?? "") - Date.parse(from ?? "")) / DAY_MS);
  return days >= 0 ? days : null; // a clock that was wrong says nothing; NaN neither
}

function neverWords(visit: HistoryEntry): string {
  const names = visit.never_measured.map((one) => one.words);
  const more = names.length - NEVER_MOST;
  return names.slice(0, NEVER_MOST).join(", ") + (more > 0 ? ` and ${more} more` : "");
}
