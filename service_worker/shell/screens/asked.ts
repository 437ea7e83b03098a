/** An answer of the rules about a job, asked once for each state of its record and of what other visits left there; until the next one is here the last one stands. */
import type { JobView } from "../core_types";
import type { Stage } from "./screen";

interface Asked<T> {
  key: string;
  answer: T | null;
  /** the rules could not be asked */
  away: boolean;
}

export function askedOfJob<T>(stage: Stage, view: JobView, name: string, args: { [key: string]: unknown } = {}): Omit<Asked<T>, "key"> {
  const key = JSON.stringify([view.card.job_id, view.record.event_count, view.record.lamport, view.facts.left_off, view.facts.elsewhere, args]);
  const state = stage.local<Asked<T>>(`asked ${name} ${Object.keys(args).join(" ")}`, { key: "", answer: null, away: false });
  if (state.value.key !== key) queueMicrotask(() => void ask());
  const ask = async (): Promise<void> => {
    if (state.peek().key === key) return;
    state.value = { ...state.peek(), key };
    try {
      const answer = await stage.core.askOfJob<T>(view.card.job_id, name, args);
      if (state.peek().key === key) state.value = { key, answer, away: false };
    } catch {
      if (state.peek().key === key) state.value = { key, answer: null, away: true };
    }
  };
  return state.value;
}
