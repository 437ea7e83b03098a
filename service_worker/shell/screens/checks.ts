/** Every check in any order: tap a part of the drawing, or a line of the list. The same record as the walk's. */
import { html, nothing, type TemplateResult } from "lit-html";
import { senseIcon } from "../components/sense_strip";
import { savedStrip } from "../components/strips";
import { verdictMark } from "../components/verdict";
import type { JobView } from "../core_types";
import type { Check } from "../generated/trade";
import { jobHref, parentHref, type From } from "../router";
import { heaterDrawing } from "../sketches/heater";
import { SENSE_WORDS } from "../words";
import { checkScreen } from "./walk";
import { answerWords, checkOf, findingOf, verdictOf } from "./record_read";
import type { Screen, Stage } from "./screen";

export function checksScreen(stage: Stage, view: JobView): Screen {
  const procedure = view.procedure;
  const part = stage.route.name === "checks" && "arg" in stage.route ? stage.route.arg : null;
  const here = procedure?.checks.filter((check) => part === null || check.part === part) ?? [];
  const partWords = procedure?.parts.find((one) => one.id === part)?.words;
  const parts = new Set(procedure?.checks.map((check) => check.part));
  return {
    title: partWords ?? "All checks", key: `checks ${part ?? ""}`,
    body: html`${savedStrip(stage, view)}
      <h1 tabindex="-1">${partWords ?? "All checks"}</h1>
      ${part === null ? html`<p class="soft">Tap the part you are at, or pick from the list. It counts in the walk too.</p><p><a class="inline-link" href=${jobHref(view.card.job_id, "words")}>Words of the trade</a></p>` : html`<a class="button quiet" href=${jobHref(view.card.job_id, "checks")}>All parts</a>`}
      ${part === null ? nothing : checkList(view, here, ["checks", part])}
      ${procedure ? heaterDrawing(procedure.name, procedure.parts.filter((one) => parts.has(one.id)), part, doneParts(view), (id) => jobHref(view.card.job_id, "checks", id)) : nothing}
      ${procedure && part === null ? byPart(view, procedure.parts, here) : nothing}`,
  };
}

/** Parts on which nothing is left to look at. */
function doneParts(view: JobView): ReadonlySet<string> {
  const checks = view.procedure?.checks ?? [];
  const open = new Set(checks.filter((check) => !isAnswered(view, check)).map((check) => check.part));
  return new Set(checks.map((check) => check.part).filter((part) => !open.has(part)));
}

function isAnswered(view: JobView, check: Check): boolean {
  return findingOf(view.record, check.id) !== null || (check.from_event === "code_read" && view.record.codes.length > 0);
}

function byPart(view: JobView, parts: readonly { id: string; words: string }[], checks: readonly Check[]): TemplateResult {
  const named = new Set(parts.map((part) => part.id));
  const others = checks.filter((check) => !named.has(check.part));
  return html`${parts.map((part) => {
    const ours = checks.filter((check) => check.part === part.id);
    return ours.length === 0 ? nothing : html`<h2>${part.words}</h2>${checkList(view, ours, ["checks"])}`;
  })}${others.length > 0 ? html`<h2>Other</h2>${checkList(view, others, ["checks"])}` : nothing}`;
}

function checkList(view: JobView, checks: readonly Check[], from: From): TemplateResult {
  return html`<ul class="check-list">${checks.map((check) => html`<li><a class="check-line" data-check=${check.id} href=${jobHref(view.card.job_id, "check", check.id, from)}>
    ${senseIcon(check.sense)}<span class="check-title">${check.title}<span class="out-of-sight">, by ${SENSE_WORDS[check.sense]}</span></span>
    ${state(view, check)}
  </a></li>`)}</ul>`;
}

function state(view: JobView, check: Check): TemplateResult {
  const finding = findingOf(view.record, check.id);
  if (check.from_event === "code_read" && view.record.codes.length > 0) return verdictMark("good", "read");
  if (!finding) return html`<span class="soft">${view.advice?.blocked.some((one) => one.check === check.id) ? "not yet" : "open"}</span>`;
  if (finding.state === "contradicted") return verdictMark("cannot_tell", "two answers");
  const answer = { outcome: finding.now_outcome ?? finding.outcome, could_not: finding.could_not };
  return verdictMark(verdictOf(view.procedure, check.id, answer), answerWords(view.procedure, check.id, answer));
}

/** One check, reached from the list, the drawing or the record: after the answer back there; but a stop is said first. */
export function oneCheckScreen(stage: Stage, view: JobView, id: string | null): Screen {
  const check = id === null ? null : checkOf(view, id);
  if (!check) {
    return { title: "No such check", key: "none", body: html`<h1 tabindex="-1">This check is not in this heater's procedure</h1>
      <a class="button wide" href=${jobHref(view.card.job_id, "checks")}>All checks</a>` };
  }
  const walk = jobHref(view.card.job_id, "walk");
  const isStopped = (): boolean => (stage.core.view.value?.advice?.gate.state ?? "stopped") === "stopped"; // not worked out yet: the walk knows first
  return checkScreen(stage, view, check, { above: "", after: () => stage.go(isStopped() ? walk : (parentHref(stage.route) ?? walk)) });
}
