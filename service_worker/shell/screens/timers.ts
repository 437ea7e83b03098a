/** A clock beside the work. It rings nowhere: it says how long it is over when somebody looks. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView, Timer } from "../core_types";
import type { Check } from "../generated/trade";
import { nowMs, tickClock } from "./clock";
import type { Stage } from "./screen";

export function timerButton(stage: Stage, view: JobView, words: string, minutes: number): TemplateResult | typeof nothing {
  const job_id = view.card.job_id;
  if (clockOf(stage, view, words)) return nothing;
  const { timers } = stage.core.own.value;
  const start = (): void => {
    tickClock();
    const due_wall = new Date(nowMs.value + minutes * 60_000).toISOString(); // one reading of the clock: a millisecond later, ten minutes would show as eleven
    void stage.attempt(() => stage.core.keepOwn({ timers: [...timers, { job_id, words: `${words}, ${minutes} min`, due_wall }] }));
  };
  return html`<button class="button wide" type="button" data-start-timer @click=${start}>Start a clock: ${words.toLowerCase()}, ${minutes} min</button>`;
}

/** Why a wait is not over yet: the clock that was started for it still runs. What is bad is seen at once, and what ends the wait may be. */
export function stillWaits(stage: Stage, view: JobView, check: Check, outcome: string): string | null {
  const clock = check.wait_minutes ? clockOf(stage, view, check.title) : undefined;
  const left = clock ? Math.ceil((Date.parse(clock.due_wall) - nowMs.value) / 60_000) : 0;
  const waited = check.outcomes.some(({ id, verdict }) => id === outcome && verdict === "good") && outcome !== check.met_by?.gives;
  return left > 0 && waited ? `${left} min left by your clock` : null;
}

function clockOf(stage: Stage, view: JobView, words: string): Timer | undefined {
  return stage.core.own.value.timers.find((timer) => timer.job_id === view.card.job_id && timer.words.startsWith(words));
}
