/** The room's CO while the burner is proved: over the firm's steps it is acted upon before anything is noted, and no run has held. */
import { html, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import type { Proposal } from "../generated/trade";
import { jobHref } from "../router";
import { numberWords } from "../words";
import { readingDraft } from "./drafts";
import { proposeOutcome } from "./rule";
import type { Stage } from "./screen";
import { sentences } from "./stop";

export interface OverInRoom {
  /** why the run cannot be said to have held */
  barred: string;
  /** what to do now, in sight wherever one has scrolled; and the way to leave the heater off, with the figure noted */
  strip: TemplateResult;
}

export function overInRoom(stage: Stage, view: JobView, ppm: number | undefined): OverInRoom | null {
  const check = view.procedure?.checks.find((one) => one.rule === "co_outcome");
  const field = check?.readings.find((one) => one.quantity === "co_room_ppm");
  const asked = stage.local<{ ppm: number | undefined; said: Proposal | null }>("proof co", { ppm: undefined, said: null });
  if (!check || !field || ppm === undefined) return null;
  if (asked.value.ppm !== ppm) queueMicrotask(() => void ask());
  const ask = async (): Promise<void> => {
    if (asked.peek().ppm === ppm) return;
    asked.value = { ppm, said: null };
    const said = await proposeOutcome(stage, view, check, (one) => (one === field ? ppm : null));
    if (asked.peek().ppm === ppm) asked.value = { ppm, said };
  };
  const { said } = asked.value;
  if (asked.value.ppm !== ppm || !said || said.outcome === null || check.outcomes.find((one) => one.id === said.outcome)?.verdict === "good") return null;
  const [first, ...rest] = sentences(said.words);
  const leave = async (): Promise<void> => {
    const draft = readingDraft(view, stage.core.person.value?.id ?? "", check.id, field, ppm, stage.core.own.value.tapped_instruments);
    if (await stage.act(view, [draft], `CO in the room ${numberWords(ppm)} ppm`)) stage.go(jobHref(view.card.job_id, "left-off"));
  };
  return {
    barred: `Not with ${numberWords(ppm)} ppm in the room`,
    strip: html`<div class="strip stays" data-kind="bad" role="alert" data-out-now><p><strong>${first}</strong> ${rest.join(" ")}</p>
      <button class="button wide tall" type="button" data-lamp data-co-off ?disabled=${stage.busy.value} @click=${() => void leave()}>Note ${numberWords(ppm)} ppm, leave it off</button></div>`,
  };
}
