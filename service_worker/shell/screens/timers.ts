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

/**
 * Why a wait is not over yet: the clock that was started for it still runs, or what has to clear was noted less than its minutes ago.
 * What is bad is seen at once, and so may be what ends the wait.
 */
export function stillWaits(stage: Stage, view: JobView, check: Check, outcome: string): string | null {
  const waited = check.outcomes.some(({ id, verdict }) => id === outcome && verdict === "good") && outcome !== check.met_by?.gives;
  if (!check.wait_minutes || !waited) return null;
  const clock = clockOf(stage, view, check.title);
  const left = clock ? minutesLeft(clock.due_wall, 0) : minutesLeft(foundWall(stage, view, check), check.wait_minutes);
  return left > 0 ? `${left} min left ${clock ? "by your clock" : "since you noted how it was found"}` : null;
}

function minutesLeft(wall: string, minutes: number): number {
  return Math.ceil((Date.parse(wall) - nowMs.value) / 60_000 + minutes);
}

/** When whoever answers noted that it had to be waited for; the empty text where they did not. */
function foundWall(stage: Stage, { record }: JobView, { met_by }: Check): string {
  const given = record.checks.find(({ check }) => check === met_by?.check)?.entries ?? [];
  return given.findLast(({ by, outcome }) => by.person_id === stage.core.person.value?.id && outcome !== null && outcome !== met_by?.outcome)?.by.at_wall ?? "";
}

function clockOf(stage: Stage, view: JobView, words: string): Timer | undefined {
  return stage.core.own.value.timers.find((timer) => timer.job_id === view.card.job_id && timer.words.startsWith(words));
}
