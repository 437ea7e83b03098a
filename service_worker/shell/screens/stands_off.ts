/** Heaters that stand off and tagged: what other visits left off, and what this one did. */
import type { JobView, LeftOff } from "../core_types";
import { dayWords, shortClockWords } from "../words";

/** What is said of it. A row that an older shell wrote does not say why. */
type Off = Pick<LeftOff, "event_id" | "wall" | "what_words" | "why_words" | "found_wall">;

/** What other visits left off and nobody put back, as the rules' `off_before` has it; it needs no engine. A row that an older shell wrote has one of them, or null. */
export function leftOffBefore({ record, facts }: JobView): readonly LeftOff[] {
  const named = record.put_back.filter((one) => one.counts !== false).flatMap((one) => one.left_off_ids ?? []);
  return [facts.left_off ?? []].flat().filter(({ event_id }) => !named.includes(event_id));
}

/** What this visit left off and did not put back. */
export function leftOffHere({ record }: JobView): readonly Off[] {
  const off = record.standing_off ?? []; // a record stored by an older shell has none
  return record.left_off.filter(({ by }) => off.includes(by.event_id)).map((one) => ({ ...one, event_id: one.by.event_id, wall: one.by.at_wall }));
}

/** "Left off on 9 Nov 2026: The heater. Why: CO in the room" */
export function leftOffWords({ wall, what_words, why_words }: Off): string {
  return `Left off on ${dayWords(wall)}: ${[what_words, why_words].filter(Boolean).join(". Why: ")}`;
}

/** For a strip of one line, the heater of this job first: "Left off 9 Nov: CO in the room". Empty where nothing stands off. `whyIsSaid`: what is unsafe stands over it. */
export function standsOffWords(view: JobView, whyIsSaid: boolean): string {
  const others = view.advice?.off_before?.filter((one) => one.other_heater).map((one) => one.event_id) ?? []; // advice of an older shell has none
  const isOther = (one: Off): boolean => others.includes(one.event_id);
  const all = [...leftOffHere(view), ...(view.card.state === "open" ? leftOffBefore(view) : [])]; // later visits speak for themselves
  const [first, ...rest] = [...all.filter((one) => !isOther(one)), ...all.filter(isOther)];
  if (!first) return "";
  const [day = ""] = shortClockWords(first.wall).split(",");
  const why = first.why_words || first.what_words;
  const ppm = /\d[\d.]* ppm/.exec(why)?.[0] ?? ""; // before what a narrow line cuts off: half a number is another one
  return `${isOther(first) ? "Another heater left off" : first.found_wall ? "Found in service, left off" : "Left off"} ${day.includes(":") ? `today ${day}` : day}${whyIsSaid ? "" : `${ppm && `, ${ppm}`}: ${why.replace(`, ${ppm}`, "")}`}${rest.length > 0 ? `, and ${rest.length} more` : ""}`;
}
