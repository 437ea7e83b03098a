/** What was said to be unsafe and then taken back: it warns of nothing, and stays in sight until that check is answered again. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import type { AnswerTakenBack, Mark } from "../generated/trade";
import { jobHref, type Route } from "../router";
import { shortClockWords } from "../words";
import { isWarning } from "./last_entry";
import { answerWords, checkTitle, findingOf } from "./record_read";

/** The last of several, and how many more; where a stop is on the screen it comes first. */
export function takenBackStrips(route: Route, view: JobView): TemplateResult[] {
  const { card, procedure, advice } = view;
  const stands = card.state === "open" && !(route.name === "walk" && advice?.gate.state === "stopped") ? standing(view) : [];
  const one = stands.at(-1);
  if (!one) return [];
  const here = route.name === "check" ? route.arg === one.check : route.name === "walk" && advice?.gate.next_check === one.check;
  return [html`<p class="visit-strip" data-taken-back-strip><span>${checkTitle(procedure, one.check)}: ${answerWords(procedure, one.check, one)}. <strong>Taken back ${shortClockWords(withdrawalOf(view, one.by).at_wall)}</strong>${stands.length > 1 ? `, and ${stands.length - 1} more` : ""}</span>
    ${here ? nothing : html`<a class="visit-way" href=${jobHref(card.job_id, "check", one.check)}>Answer again</a>`}</p>`];
}

/** What nobody answered since, one of each check. */
function standing(view: JobView): AnswerTakenBack[] {
  const answers = view.record.taken_back?.answers ?? []; // a record stored by an older shell has none
  return answers.filter((one, at) => isWarning(view, one.check, one.outcome) && !answers.slice(at + 1).some(({ check }) => check === one.check)
    && !findingOf(view.record, one.check)?.entries.some(({ by }) => by.lamport > withdrawalOf(view, one.by).lamport));
}

/** By whom and when. */
export function withdrawalOf({ record }: JobView, by: Mark): Mark {
  return record.taken_back?.withdrawals.find((one) => one.event_id === by.event_id)?.by ?? by;
}
