/** Before the first check: where, whom to ring, and the way in. What can hurt comes from call_notes.ts, the rest of the page from home_rest.ts. */
import { html, nothing, type TemplateResult } from "lit-html";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import { jobHref } from "../router";
import { closeWords } from "../words";
import { dueWords, handedWords, updateStrip } from "./jobs";
import { lateBit } from "./later";
import { ringButton } from "./ring";
import type { Screen, Stage } from "./screen";

export function jobHomeScreen(stage: Stage, view: JobView): Screen {
  const { card, record } = view;
  const going = card.state === "booked" || card.state === "open";
  return {
    title: card.street, key: "home",
    body: html`${updateStrip(stage)}${savedStrip(stage, view)}
      <h1 tabindex="-1">${card.street}</h1>
      <p class="soft">${[card.town, view.procedure?.title].filter(Boolean).join(" · ")}</p>
      ${going && card.due_wall ? html`<p data-promised>${dueWords(card.due_wall)}</p>` : nothing}
      ${going ? html`${lateBit((late) => late.whatCanHurt(view), html`<p class="strip" data-kind="caution">What is known against this visit is being read from this phone.</p>`)}` : nothing}
      ${record.closed ? html`<p class="strip"><strong>Closed: ${closeWords(record.closed.state).toLowerCase()}.</strong> ${record.closed.words}</p>` : nothing}
      ${card.phone ? ringButton(card.phone, "Call") : html`<p class="soft">No phone number was given.</p>`}
      ${lateBit((late) => late.homeRest(stage, view), html`<p class="soft">Earlier visits and the call are being read from this phone.</p>`)}
      <div class="dock" data-stick>${wayIn(stage, view)}</div>`,
  };
}

function wayIn(stage: Stage, view: JobView): TemplateResult {
  const job = view.card.job_id;
  if (view.card.state === "cancelled") return html`<p class="strip"><strong>Cancelled: nobody goes.</strong> ${view.record.cancelled?.why}</p>`;
  if (view.card.state === "closed") return html`<a class="button wide tall" href=${jobHref(job, "record")}>The record</a>`;
  if (view.card.state === "open" && (view.danger[0]?.stops || view.advice?.gate.state === "stopped")) return html`<a class="button wide tall" data-kind="bad" data-stop href=${jobHref(job, "walk")}>Stop: what to do now</a>`; // nothing that invites to go on
  if (view.card.handed_to) return html`<p class="not-yet">This job is ${handedWords(view.card.handed_to)}.</p><a class="button wide tall" href=${jobHref(job, "record")}>The record</a>`;
  if (view.card.state === "open") return html`${lateBit((late) => late.notYet(stage, view), nothing)}<a class="button wide tall" data-lamp href=${jobHref(job, "walk")}>Go on with the walk</a>`;
  if (!view.procedure) return html`<p class="strip" data-kind="bad">The list of checks for this heater is not on this phone yet. It comes by itself when there is signal.</p>`;
  return html`${lateBit((late) => late.notYet(stage, view), nothing)}<button class="button wide tall" type="button" data-lamp data-start ?disabled=${stage.busy.value} @click=${() => void start(stage, view)}>Start: safety first</button>`;
}

async function start(stage: Stage, view: JobView): Promise<void> {
  const drafts = [{ kind: "job_opened", body: { procedure_hash: view.procedure?.hash } }, { kind: "arrived", body: {} }];
  if (await stage.act(view, drafts, "begun")) stage.go(jobHref(view.card.job_id, "walk"));
}
