/** A heater was left off: the office hears it by voice. When, and from whom; until then every screen says "office not told". */
import { html, nothing } from "lit-html";
import { savedStrip } from "../components/strips";
import type { JobView } from "../core_types";
import { jobHref } from "../router";
import { clockWords } from "../words";
import { nowMs } from "./clock";
import { ringButton } from "./ring";
import type { Screen, Stage } from "./screen";

const STEP_MIN = 5;

export function officeToldScreen(stage: Stage, view: JobView): Screen {
  const who = stage.typed("told who", "");
  const rang = stage.typed<number | null>("rang ms", null); // as it was set; until then: just now
  const phone = stage.core.company.value?.settings.office_phone ?? null;
  const told_wall = (): string => new Date(rang.value ?? nowMs.value).toISOString();
  const move = (minutes: number): void => void (rang.value = Math.min(nowMs.value, (rang.value ?? nowMs.value) + minutes * 60_000));
  const { office_told, office_not_told, left_off } = view.record;
  const save = async (): Promise<void> => {
    const body = { told_wall: told_wall(), who_words: who.value.trim() };
    if (await stage.act(view, [{ kind: "office_told", body }], `office told ${clockWords(body.told_wall)}`)) stage.go(view.record.closed ? jobHref(view.card.job_id) : jobHref(view.card.job_id, "close", "left_off"));
  };
  const last = office_told.at(-1);
  return {
    title: "Tell the office", key: "office-told",
    body: html`${savedStrip(stage, view)}<h1 tabindex="-1">Tell the office by voice</h1>
      <p>A heater left off is told by voice, not only sent: somebody there must know today.</p>
      ${left_off.length > 0 ? html`<ul class="plain done">${left_off.map((one) => html`<li><strong>${one.what_words}:</strong> ${one.why_words}. Told: ${one.told_words}</li>`)}</ul>` : nothing}
      ${last ? html`<p class="strip recorded">Told ${clockWords(last.told_wall)}: <strong>${last.who_words}</strong>${office_not_told ? ". Something was left off since." : nothing}</p>` : nothing}
      ${phone ? ringButton(phone, "Ring the office") : html`<p class="strip">The office's number has not come down to this phone. Ring the number that you know.</p>`}
      <div class="field"><label for="told-who">Spoke to</label><input id="told-who" autocomplete="off" maxlength="120" .value=${who.value} @input=${(event: Event) => (who.value = (event.target as HTMLInputElement).value)} /></div>
      ${who.value.trim() === "" ? nothing : html`<div class="stepper"><span>Rang at <strong class="number-inline">${clockWords(told_wall())}</strong></span>
        <button class="button" type="button" aria-label="−5 min" @click=${() => move(-STEP_MIN)}>−5</button>
        <button class="button" type="button" aria-label="+5 min" ?disabled=${rang.value === null || rang.value >= nowMs.value} @click=${() => move(STEP_MIN)}>+5</button></div>`}
      <div class="dock"><button class="button wide tall" type="button" data-lamp data-told ?disabled=${who.value.trim() === "" || stage.busy.value} @click=${() => void save()}>The office knows</button>
        <p class="soft">No signal here? Go up, then ring. “Office not told” stays on every screen until you say so.</p>
        ${view.record.closed ? nothing : html`<a class="button wide quiet" href=${jobHref(view.card.job_id, "close", "left_off")}>Close the job first</a>`}</div>`,
  };
}
