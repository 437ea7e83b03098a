/** What stays while screens change: Back and the place on top, the ways through the job, the queue line at the foot. */
import { html, nothing, type TemplateResult } from "lit-html";
import { queueLine } from "../components/queue_line";
import { faultStrip } from "../components/strips";
import { jobHref, parentHref, type JobScreen } from "../router";
import { hasTabs, viewOf } from "./view_of";
import type { Screen, Stage } from "./screen";

const TABS: [screen: JobScreen, words: string][] = [["walk", "Walk"], ["checks", "All checks"], ["suspects", "Suspects"], ["record", "Record"]];

export function frame(stage: Stage, screen: Screen): TemplateResult {
  const { route, core } = stage;
  return html`
    ${topBar(stage)}
    ${"job" in route && hasTabs(stage) ? tabs(route.job, route.name) : nothing}
    <main data-screen=${route.name}>${faultStrip(stage.fault.value)} ${screen.body}</main>
    ${core.person.value || route.name === "phone" ? html`<footer>${queueLine(core.queue.value)}</footer>` : nothing}
  `;
}

function topBar(stage: Stage): TemplateResult {
  const { route } = stage;
  const back = parentHref(route);
  const view = viewOf(stage);
  return html`<header class="bar">
    ${back ? html`<a class="back" href=${back}><span aria-hidden="true">‹</span> Back</a>` : html`<span class="house">Undercroft</span>`}
    ${view && "job" in route
      ? html`<p class="where"><strong>${view.card.street}</strong><span class="soft">${view.procedure?.title ?? view.card.town}</span></p>`
      : html`<p class="where"><strong>${stage.core.person.value?.name ?? ""}</strong></p>`}
  </header>`;
}

function tabs(job: string, now: JobScreen): TemplateResult {
  return html`<nav class="tabs" aria-label="This job">
    ${TABS.map(([screen, words]) => html`<a href=${jobHref(job, screen)} aria-current=${screen === now ? "page" : nothing}>${words}</a>`)}
  </nav>`;
}
