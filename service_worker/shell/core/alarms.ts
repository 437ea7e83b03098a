/** What a caller's alarm says to every job of the address: words, no finding. It marks and ranks, and stops nothing. */
import type { AddressFacts, CallAlarm, Danger, JobCard, Record_ } from "../core_types";
import { clockWords } from "../words";
import type { Address } from "./address";
import { whenMs } from "./address_facts";
import { live, text } from "./cards";

/** Which look of a visit answers each of them, and how it is called. */
const ALARMS = [["smell_of_gas", "smell_of_gas", "smell of gas"], ["co_alarm", "co_room", "CO alarm"], ["unwell", "symptoms", "somebody unwell"]] as const;

/** Of the jobs that wait or go on, this one last; each person's last word counts. */
export function alarmsAt({ own, others }: Pick<Address, "own" | "others">): CallAlarm[] {
  return [...others.values(), own].map(live).filter((events) => !events.some(({ kind }) => kind === "job_closed" || kind === "job_cancelled")).flatMap((events) => {
    const last = [...new Map(events.filter(({ kind }) => kind === "call_taken").map((event) => [event.person_id, event])).values()];
    const says = (id: string, word: string): boolean => last.some(({ body }) => body[id] === word);
    const found = ALARMS.filter(([id]) => says(id, "yes") || says(id, "unsure"));
    const by = last.sort((a, b) => whenMs(a) - whenMs(b)).at(-1); // whoever looked in between has not heard it
    const booked = (key: string): string | null => text(events.findLast((event) => (event.kind === "job_booked" || event.kind === "job_moved") && text(event, key) !== null), key);
    return by && found.length > 0 ? [{ said: booked("complaint_words"), phone: booked("phone"), job_id: by.job_id, wall: by.at_wall, at_ms: whenMs(by), asked: found.map(([, look]) => look), words: found.map(([id, , name]) => name + (says(id, "yes") ? "" : " (not sure)")).join(", ") }] : [];
  });
}

/** What of it stands for this job: quiet once it has looked into each since. */
export function alarmsOn({ card, record, facts }: { card: Pick<JobCard, "job_id">; record: Record_; facts?: AddressFacts }): Danger[] {
  const looked = (at_ms: number) => (look: string): boolean => record.checks.some(({ check, entries }) => check === look && entries.some(({ outcome, by }) => outcome && whenMs(by) > at_ms));
  return (facts?.calls ?? []).flatMap((call) => {
    const check = call.asked.find((look) => !looked(call.at_ms)(look));
    const own = call.job_id === card.job_id;
    return check === undefined ? [] : [{ check, words: `${own ? "The caller said" : `Another call from this address ${clockWords(call.wall)}`}: ${call.words}`, stops: false, by: null, elsewhere: !own, call }];
  });
}
