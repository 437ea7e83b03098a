/** The time, for screens that count: it moves a few times a minute, and at once when the screen comes back. Nothing rings. */
import { signal } from "@preact/signals-core";

const STEP_MS = 15_000;

export const nowMs = signal(Date.now());

export function startClock(): void {
  setInterval(tickClock, STEP_MS);
  document.addEventListener("visibilitychange", tickClock);
}

/** A new screen, or something just saved: what is shown counts from now. */
export function tickClock(): void {
  nowMs.value = Date.now();
}

/** "24 min left" before, "overdue 6 min" after. */
export function leftWords(dueWall: string, now: number): string {
  const minutes = Math.floor((now - Date.parse(dueWall)) / 60_000);
  if (Number.isNaN(minutes)) return "time not known";
  return minutes >= 0 ? `overdue ${long(minutes)}` : `${long(-minutes)} left`;
}

export function isOver(dueWall: string, now: number): boolean {
  return Date.parse(dueWall) <= now;
}

function long(minutes: number): string {
  return minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}
