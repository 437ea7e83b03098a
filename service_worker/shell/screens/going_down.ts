/** Due out: agreed while there is signal, in big steps; and out again. */
import { html, nothing } from "lit-html";
import { answerButtons } from "../components/answers";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import { jobHref } from "../router";
import { clockWords } from "../words";
import { leftWords, nowMs } from "./clock";
import { ringButton } from "./ring";
import type { Screen, Stage } from "./screen";
import { ownBelow } from "./visit_strips";

const MINUTE_MS = 60_000;
const STEPS: [minutes: number, words: string][] = [[30, "In half an hour"], [60, "In an hour"], [90, "In an hour and a half"]];
const OWN_STEP_MIN = 15;
const OWN_MOST_MIN = 12 * 60;

export function belowScreen(stage: Stage, view: JobView): Screen {
  const own = stage.typed("due minutes", 120);
  const ring = stage.typed("ring phone", view.card.phone ?? "");
  const numbers = [[view.card.phone, "The customer's"], [stage.core.own.value.ring_phone, "As last time"]].filter(([number]) => number);
  const below = ownBelow(stage, view);
  const phone = stage.core.company.value?.settings.office_phone ?? null;
  const at = (minutes: number): string => new Date(nowMs.value + minutes * MINUTE_MS).toISOString();
  const agree = async (minutes: number): Promise<void> => {
    const due_out_wall = new Date(Date.now() + minutes * MINUTE_MS).toISOString();
    const body: { due_out_wall: string; ring_phone?: string } = { due_out_wall, ...(ring.value.trim() ? { ring_phone: ring.value.trim() } : {}) };
    if (!(await stage.act(view, [{ kind: "due_out", body }], `due out ${clockWords(due_out_wall)}`))) return;
    if (body.ring_phone && body.ring_phone !== view.card.phone) await stage.core.keepOwn({ ring_phone: body.ring_phone });
    stage.go(jobHref(view.card.job_id));
  };
  return {
    title: "Due out", key: "below",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">When will you be out again?</h1>
      <p>The office sees it, and rings when it is past. Say it while there is signal: below ground nothing is sent.</p>
      ${below ? html`<p class="strip recorded">Agreed: <strong>${clockWords(below.due_out_wall)}</strong>, ${leftWords(below.due_out_wall, nowMs.value)}. A new time takes its place.</p>` : nothing}
      <div class="field"><label for="ring">The office then rings</label>
        <input id="ring" inputmode="tel" autocomplete="off" maxlength="40" .value=${ring.value} @input=${(event: Event) => (ring.value = (event.target as HTMLInputElement).value)} />
        ${numbers.length > 0 ? html`<div class="chips">${numbers.map(([number, whose]) => html`<button class="chip" type="button" data-ring aria-pressed=${String(ring.value.trim() === number)} @click=${() => (ring.value = number ?? "")}>${whose}: ${number}</button>`)}</div>` : nothing}</div>
      ${phone ? ringButton(phone, "Ring the office") : html`<p class="soft">The office's number has not come down yet.</p>`}
      <section class="dock" aria-label="Due out">
        ${answerButtons(STEPS.map(([minutes, words]) => ({ id: String(minutes), words, more: clockWords(at(minutes)) })), (id) => void agree(Number(id)), stage.busy.value)}
        <div class="own-time"><button class="button" type="button" aria-label="−15 min" @click=${() => (own.value = Math.max(OWN_STEP_MIN, own.value - OWN_STEP_MIN))}>−15</button>
          <button class="answer" type="button" data-answer="own" aria-disabled=${String(stage.busy.value)} @click=${() => void agree(own.value)}><span class="answer-words">At ${clockWords(at(own.value))}</span></button>
          <button class="button" type="button" aria-label="+15 min" @click=${() => (own.value = Math.min(OWN_MOST_MIN, own.value + OWN_STEP_MIN))}>+15</button></div>
      </section>`,
  };
}
