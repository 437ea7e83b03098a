/** What stays while screens change: Back and the place on top, the ways through the job, the queue line at the foot. */
import { html, nothing, type TemplateResult } from "lit-html";
import { moreBelow } from "../components/more_below";
import { queueLine } from "../components/queue_line";
import { faultStrip } from "../components/strips";
import { jobHref, parentHref, type JobScreen } from "../router";
import { isOver, nowMs } from "./clock";
import { lateBit } from "./later";
import { comeOut, isUnsent, ownBelow, visitStrips } from "./visit_strips";
import { clockWords } from "../words";
import { hasTabs, viewOf } from "./view_of";
import type { Screen, Stage } from "./screen";

const TABS: [screen: JobScreen, words: string][] = [["walk", "Walk"], ["checks", "Checks"], ["suspects", "Suspects"], ["record", "Record"]];

export function frame(stage: Stage, screen: Screen): TemplateResult {
  const { route, core } = stage;
  return html`
    <header class="bar">${place(stage)}${ways(stage, screen)}</header>${visitStrips(stage, screen)}
    <main data-screen=${route.name}>${faultStrip(stage.fault.value)} ${lateBit((late) => late.unsavedLine(stage, screen), nothing)} ${screen.body}</main>
    ${core.person.value || route.name === "phone" ? html`<footer>${queueLine(core.queue.value)}${moreBelow()}</footer>` : nothing}
  `;
}

/** Where one is: the address and the heater on a job's screens, the house and the person elsewhere. */
function place(stage: Stage): TemplateResult {
  const view = viewOf(stage);
  if (!view || stage.route.name === "home") return html`<p class="where"><span class="house">Undercroft</span><span>${stage.core.person.value?.name ?? ""}</span></p>`;
  const below = ownBelow(stage, view);
  return html`<p class="where" ?data-below=${below !== null}><strong>${view.card.street}</strong><span class="soft">${view.procedure?.title ?? view.card.town}</span>${below ? html`<span class="out-by"><span>${isUnsent(stage, below.by) ? html`<span class="not-sent-out">not sent: </span>` : nothing}out ${clockWords(below.due_out_wall).slice(-5)}</span> ${isOver(below.due_out_wall, nowMs.value) ? nothing : html`<button class="visit-way" type="button" data-out-folded ?disabled=${stage.busy.value} @click=${() => comeOut(stage, view)}>I am out</button>`}</span>` : nothing}</p>`;
}

/** Back, always at the left of this line; beside it the ways through the job. */
function ways(stage: Stage, screen: Screen): TemplateResult | typeof nothing {
  const { route } = stage;
  const back = parentHref(route);
  if (!back) return nothing;
  const within = (event: Event): void => {
    if (!screen.back) return;
    event.preventDefault();
    screen.back();
  };
  return html`<nav class="ways-through" aria-label="Ways">
    <a class="back" href=${back} @click=${within}><span aria-hidden="true">‹</span> Back</a>
    ${"job" in route && hasTabs(stage) ? TABS.map(([screen, words]) => html`<a class="tab" href=${jobHref(route.job, screen)} aria-current=${screen === route.name ? "page" : nothing}>${words}</a>`) : nothing}
  </nav>`;
}
