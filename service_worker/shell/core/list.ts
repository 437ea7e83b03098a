/** The list of jobs as the screen shows it. */
import type { Danger, JobCard } from "../core_types";
import { alarmsOn } from "./alarms";
import { saidOnce, stopsFirst } from "./danger";
import { foundElsewhere } from "./elsewhere";
import type { JobRow } from "./schema";

/** Open jobs first, of each kind those that stop or whose caller alarms, then by the time of booking. */
export function jobList(rows: JobRow[]): JobCard[] {
  return rows.map(listed).sort(byBooking);
}

/** The card, and what the stored record says that the list must show. */
function listed({ card: stored, handed_to = null, record, advice, facts, danger = [] }: JobRow): JobCard {
  const card = { ...stored, handed_to };
  if (!record) return card;
  const elsewhere = foundElsewhere({ advice, facts }).filter((one) => !one.other_heater).map(({ check, words, stop_words }) => ({ check, words: saidOnce(words), stops: stop_words !== null, by: null, elsewhere: true }));
  const back = (record.put_back ?? []).flatMap((one) => (one.counts === false ? [] : (one.left_off_ids ?? []))); // a record stored by an older shell has none
  const stands_off = record.heater_off || [facts?.left_off ?? []].flat().some(({ event_id }) => !back.includes(event_id)); // and its row has one, or null
  const again = advice?.looked_again?.map(({ was_words }) => was_words).join(", ") || null; // advice stored by an older shell has none
  return { ...card, again, office_not_told: record.office_not_told, due_out_wall: record.below?.due_out_wall ?? null, stands_off, handed_words: record.closed?.state === "handed_over" ? record.closed.words : null, danger: [...stopsFirst([...dangersToSay(danger, record.heater_off), ...elsewhere]), ...alarmsOn({ card, record, ...(facts && { facts }) })] };
}

/** Once the heater is off, only what stops the visit is more. */
export function dangersToSay(danger: readonly Danger[], heaterOff: boolean): Danger[] {
  return danger.filter(({ stops }) => stops || !heaterOff);
}

function byBooking(a: JobCard, b: JobCard): number {
  const rank = { open: 0, booked: 1, cancelled: 2, closed: 3 };
  const [first, second] = [`${a.booked_at ?? ""} ${a.job_id}`, `${b.booked_at ?? ""} ${b.job_id}`]; // localeCompare: 30 ms to start it
  const calm = ({ danger = [] }: JobCard): number => Number(!danger.some(({ call, stops }) => call || stops));
  return rank[a.state] - rank[b.state] || calm(a) - calm(b) || (first < second ? -1 : 1);
}
