/** A clock beside the work. It rings nowhere: it says how long it is over when somebody looks. */
import { html, nothing, type TemplateResult } from "lit-html";
import type { JobView } from "../core_types";
import { nowMs, tickClock } from "./clock";
import type { Stage } from "./screen";

export function timerButton(stage: Stage, view: JobView, words: string, minutes: number): TemplateResult | typeof nothing {
  const job_id = view.card.job_id;
  const { timers } = stage.core.own.value;
  if (timers.some((timer) => timer.job_id === job_id && timer.words.startsWith(words))) return nothing;
  const start = (): void => {
    tickClock();
    const due_wall = new Date(nowMs.value + minutes * 60_000).toISOString(); // one reading of the clock: a millisecond later, ten minutes would show as eleven
    void stage.attempt(() => stage.core.keepOwn({ timers: [...timers, { job_id, words: `${words}, ${minutes} min`, due_wall }] }));
  };
  return html`<button class="button wide" type="button" data-start-timer @click=${start}>Start a clock: ${words.toLowerCase()}, ${minutes} min</button>`;
}
