/** The day's jobs, painted from the store alone; and whether this phone may go below ground. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobCard, Readiness } from "../core_types";
import { jobHref } from "../router";
import { clockWords, count, dangerWords } from "../words";
import { isOver, leftWords, nowMs } from "./clock";
import type { Screen, Stage } from "./screen";

export function jobsScreen(stage: Stage): Screen {
  const jobs = stage.core.jobs.value;
  const going = jobs.filter((job) => job.state === "booked" || job.state === "open");
  const now = going.filter((job) => !job.handed_to);
  const handed = going.filter((job) => job.handed_to);
  const gone = jobs.filter((job) => job.state === "cancelled");
  const closed = jobs.filter((job) => job.state === "closed").reverse();
  const owed = closed.filter((job) => job.office_not_told || job.due_out_wall);
  const done = closed.filter((job) => !owed.includes(job));
  return {
    title: "Jobs",
    key: "jobs",
    body: html`
      ${updateStrip(stage)}
      <h1 tabindex="-1">Jobs</h1>
      ${readinessPanel(stage.core.readiness.value)}
      ${owed.length > 0 ? html`<h2>Closed, and not at its end</h2>${cards(owed)}<h2>To go to</h2>` : nothing}
      ${now.length > 0 ? cards(now) : html`<p class="empty">No job is booked for you. New ones come by themselves when there is signal.</p>`}
      ${handed.length > 0 ? html`<h2>Handed over</h2>${cards(handed)}` : nothing}
      ${gone.length > 0 ? html`<h2>Cancelled: nobody goes</h2>${cards(gone)}` : nothing}
      ${done.length > 0 ? html`<h2>Closed</h2>${cards(done)}` : nothing}
    `,
  };
}

function cards(jobs: readonly JobCard[]): TemplateResult {
  return html`<ul class="cards">${jobs.map((job) => html`<li><a class="card" href=${jobHref(job.job_id, job.state === "open" && !job.handed_to ? "walk" : "home")} data-job=${job.job_id}>
    ${dangerTag(job)}
    ${job.again ? html`<span class="tag" data-kind="bad" data-again>${job.again}: not shown to be put right</span>` : nothing}
    ${job.handed_words ? html`<span class="tag" data-handed>handed over: ${job.handed_words}</span>` : job.handed_to ? html`<span class="tag" data-handed>${handedWords(job.handed_to)}</span>` : job.state !== "open" ? nothing : job.danger?.[0]?.stops ? html`<span class="tag">begun</span>` : html`<span class="tag" data-lamp>begun: go on</span>`}
    ${job.office_not_told ? html`<span class="tag" data-kind="bad">office not told</span>` : nothing}
    ${job.stands_off && (job.state === "open" || job.state === "booked") ? html`<span class="tag" data-kind="bad">a heater stands off</span>` : nothing}
    ${job.due_out_wall ? html`<span class="tag" data-kind=${isOver(job.due_out_wall, nowMs.value) ? "bad" : nothing}>due out ${clockWords(job.due_out_wall)} · ${leftWords(job.due_out_wall, nowMs.value)}</span>` : nothing}
    <strong class="card-street">${job.street}</strong>
    <span class="soft">${job.town}</span>
    ${job.due_wall ? html`<span data-promised>${dueWords(job.due_wall)}</span>` : nothing}
    <span>${job.complaint_words}</span>
    ${beforeWords(job)}
  </a></li>`)}</ul>`;
}

/** Before anything that invites to go on. */
function dangerTag({ danger = [], state }: JobCard): TemplateResult | typeof nothing {
  return danger.length === 0 || state === "closed" ? nothing : html`<span class="tag" data-kind="bad" data-danger>${dangerWords(danger)}</span>`;
}

export function handedWords(name: string): string {
  return `handed over to ${name}`;
}

export function dueWords(wall: string): string {
  return `Promised for ${clockWords(wall)}`;
}

function beforeWords(job: JobCard): TemplateResult | typeof nothing {
  const calls = job.calls_before ?? 0;
  if (job.visits_before + calls === 0) return nothing;
  const words = [job.visits_before > 0 ? `${count(job.visits_before, "visit")} before` : null, calls > 0 ? `${count(calls, "earlier call")} for which nobody has been there` : null].filter(Boolean).join("; ");
  return html`<span class="before">${job.returning ? html`<strong>Return visit.</strong> ` : nothing}${words}</span>`;
}

const COMES = "Comes by itself while there is signal.";
const HOW_TO: { [id in Readiness["steps"][number]["id"]]: string } = {
  installed: "In the browser's menu: add it to the home screen, then open it from there and sign in.",
  signed_in: "With a code from the office.",
  shell: COMES, engine: COMES, jobs: COMES, procedures: COMES, company: COMES,
  persisted: "Asked by itself after the first sign-in.",
};

function readinessPanel(readiness: Readiness): TemplateResult {
  const left = readiness.steps.filter((step) => !step.done).length;
  return html`<details class="ready" ?open=${!readiness.ready} data-ready=${String(readiness.ready)}>
    <summary>${readiness.ready
      ? html`<span class="verdict" data-verdict="good">Ready for the basement</span>`
      : html`<span class="verdict" data-verdict="not_checked">Not ready for the basement: ${count(left, "step")} left</span>`}</summary>
    <ol>${readiness.steps.map((step) => html`<li data-step=${step.id} data-done=${String(step.done)}>
      <span class="step-mark" aria-hidden="true"></span><span>${step.words}<span class="out-of-sight">: ${step.done ? "done" : "not yet"}</span>
        ${step.done ? nothing : html`<span class="line-of soft">${HOW_TO[step.id]}</span>`}</span>
    </li>`)}</ol>
  </details>`;
}

export function updateStrip(stage: Stage): TemplateResult | typeof nothing {
  if (!stage.core.updateWaiting.value) return nothing;
  return html`<div class="strip update"><p>A newer Undercroft is on this phone. It starts when you say so; nothing saved is touched.</p>
    <button class="button" type="button" @click=${() => stage.core.applyUpdate()}>Start it now</button></div>`;
}
