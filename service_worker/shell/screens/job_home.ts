/** Before the first check: where, who called, in what words; and what this address already told, first of all. */
import { html, nothing, type TemplateResult } from "lit-html";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import { jobHref } from "../router";
import { clockWords, closeWords } from "../words";
import { earlierVisits } from "./earlier";
import { updateStrip } from "./jobs";
import type { Screen, Stage } from "./screen";

export function jobHomeScreen(stage: Stage, view: JobView): Screen {
  const { card, record } = view;
  return {
    title: card.street, key: "home",
    body: html`${updateStrip(stage)}${savedStrip(stage, view)}
      <h1 tabindex="-1">${card.street}</h1>
      <p class="soft">${card.town}</p>
      ${record.closed ? html`<p class="strip"><strong>Closed: ${closeWords(record.closed.state).toLowerCase()}.</strong> ${record.closed.words}</p>` : nothing}
      ${card.phone ? html`<a class="button wide phone" href=${`tel:${card.phone.replace(/[^\d+]/g, "")}`}><span>Call ${card.phone}</span></a>` : html`<p class="soft">No phone number was given.</p>`}
      ${earlierVisits(view)}
      <h2>The call</h2>
      <blockquote class="complaint">${card.complaint_words || "No words were noted."}</blockquote>
      <p class="soft">Booked ${clockWords(card.booked_at)}</p>
      <div class="dock" data-stick>${wayIn(stage, view)}</div>`,
  };
}

function wayIn(stage: Stage, view: JobView): TemplateResult {
  const job = view.card.job_id;
  if (view.card.state === "closed") return html`<a class="button wide tall" href=${jobHref(job, "record")}>The record</a>`;
  if (view.card.state === "open") return html`<a class="button wide tall" data-lamp href=${jobHref(job, "walk")}>Go on with the walk</a>`;
  if (!view.procedure) return html`<p class="strip" data-kind="bad">The list of checks for this heater is not on this phone yet. It comes by itself when there is signal.</p>`;
  return html`<button class="button wide tall" type="button" data-lamp data-start ?disabled=${stage.busy.value} @click=${() => void start(stage, view)}>Start: safety first</button>`;
}

async function start(stage: Stage, view: JobView): Promise<void> {
  const drafts = [{ kind: "job_opened", body: { procedure_hash: view.procedure?.hash } }, { kind: "arrived", body: {} }];
  if (await stage.act(view, drafts, "begun")) stage.go(jobHref(view.card.job_id, "walk"));
}
