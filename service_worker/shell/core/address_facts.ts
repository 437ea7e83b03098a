/** What the address says beside its histories: its heaters, what was left off there, how to get in. Wall time is for display only. */
import type { AddressFacts, KnownHeater, Record_ } from "../core_types";
import { live, text } from "./cards";
import type { EventEnvelope } from "./schema";

export const NO_FACTS: AddressFacts = { heaters: [], left_off: [], access_words: null };

/** As the rules have it (webapp/trade/found_running.py). */
const FOUND_IN_SERVICE = "Found in service: ";

interface Events {
  own: EventEnvelope[];
  site: EventEnvelope[];
  others: Map<string, EventEnvelope[]>;
}

/** Notes that a heater was put back which end nothing, by the rules' own fold (`counts`): few visits have one. In doubt, all of that visit. */
export async function saidOnly({ own, others }: Pick<Events, "own" | "others">, fold: (events: EventEnvelope[]) => Promise<Record_>): Promise<Set<string>> {
  const idle = new Set<string>();
  for (const events of [own, ...others.values()]) {
    const backs = live(events).filter(({ kind }) => kind === "put_back");
    if (backs.length === 0) continue;
    const record = await fold(events).catch(() => null);
    const said = record ? (record.put_back ?? []).flatMap((one) => (one.counts === false ? [one.by.event_id] : [])) : backs.map(({ id }) => id);
    said.forEach((id) => idle.add(id));
  }
  return idle;
}

/** `idle`: events that say nothing here. */
export function addressFacts({ own, site, others }: Events, idle: ReadonlySet<string>): AddressFacts {
  const told = (events: EventEnvelope[]): EventEnvelope[] => live(events).filter(({ id }) => !idle.has(id));
  const atSite = live(site);
  const elsewhere = [...others.values()].flatMap(live);
  const all = [...elsewhere, ...live(own), ...atSite].sort(byWall);
  return {
    heaters: heatersOf(all.filter(({ kind }) => kind === "appliance_described")),
    left_off: leftOffOf([...others.values()].map(told), told(own).filter((event) => namedBy(event) === null)).map((one) => ({ ...one, found_wall: foundWall(one, elsewhere, all, idle) })),
    access_words: text(atSite.findLast(({ kind }) => kind === "address_given"), "access_words"),
  };
}

/** Each heater by its last description; what that one leaves out stays as it was said before. Newest first. */
function heatersOf(described: EventEnvelope[]): KnownHeater[] {
  const heaters = new Map<string, KnownHeater>();
  for (const event of described) {
    const id = text(event, "appliance_id");
    if (!id) continue;
    const before = heaters.get(id);
    const said = (key: string): string | null => text(event, key) ?? ((before?.[key as keyof KnownHeater] ?? null) as string | null);
    const renamed = ["maker_words", "model_words"].some((key) => text(event, key) !== null && text(event, key) !== before?.[key as "maker_words"]);
    const input = event.body["input_btu_h"];
    heaters.delete(id);
    heaters.set(id, {
      appliance_id: id, kind: said("kind") ?? "", fuel: said("fuel"), maker_words: said("maker_words"), model_words: said("model_words"),
      serial_words: said("serial_words"), location_words: said("location_words"), model_sheet_id: renamed ? text(event, "model_sheet_id") : said("model_sheet_id"), // another model has another sheet
      input_btu_h: typeof input === "number" ? input : (before?.input_btu_h ?? null),
    });
  }
  return [...heaters.values()].reverse();
}

/** What was left off at other visits and not put back: by its name at another one, or by a word, also of this job, for all that was left off before. What this job put back by name is in its record. */
function leftOffOf(jobs: EventEnvelope[][], nameless: EventEnvelope[]): AddressFacts["left_off"] {
  const stands = (backs: EventEnvelope[]) => (left: EventEnvelope): boolean =>
    !backs.some((event) => event.kind === "put_back" && (namedBy(event)?.includes(left.id) ?? whenMs(event) > whenMs(left)));
  const all = [...jobs.flat(), ...nameless];
  return jobs.flatMap((events) => {
    const appliance_ids = [...new Set(events.flatMap((event) => (event.kind === "appliance_described" ? (text(event, "appliance_id") ?? []) : [])))];
    return entriesOf(events, stands).filter(stands(all)).map((event) => ({ event, said: saidOf(event, events), appliance_ids, room_co_ppm: roomCoOf(events) }));
  }).sort((a, b) => byWall(a.event, b.event)).map(({ event, said, appliance_ids, room_co_ppm }) => ({
    event_id: event.id, wall: event.at_wall, what_words: text(said, "what_words") ?? "the heater", why_words: text(said, "why_words") ?? text(said, "words"), appliance_ids, room_co_ppm,
  }));
}

/** Found in service at another visit, by a word that ends nothing, and not left off again since. */
function foundWall(left: AddressFacts["left_off"][number], elsewhere: EventEnvelope[], all: EventEnvelope[], idle: ReadonlySet<string>): string | null {
  const found = elsewhere.filter((event) => idle.has(event.id) && text(event, "words")?.startsWith(FOUND_IN_SERVICE) && (namedBy(event)?.includes(left.event_id) ?? true)).sort(byWall).at(-1);
  return found && !all.some((event) => event.kind === "left_off" && whenMs(event) > whenMs(found)) ? found.at_wall : null;
}

/** Where the close alone speaks, its visit's last entry says what was left off, and why. */
function saidOf(event: EventEnvelope, events: EventEnvelope[]): EventEnvelope {
  return event.kind === "left_off" ? event : (events.findLast(({ kind }) => kind === "left_off") ?? event);
}

/** What a proof at a later visit compares with. */
function roomCoOf(events: EventEnvelope[]): number | null {
  const read = events.flatMap(({ kind, body }) => {
    const ppm = kind === "proof_run" ? body["co_room_ppm"] : kind === "reading_taken" && body["quantity"] === "co_room_ppm" ? body["value"] : null;
    return typeof ppm === "number" ? [ppm] : [];
  });
  return read.length > 0 ? Math.max(...read) : null;
}

/** As the fold has it: the close as "left off" speaks where no entry of its job stood when it was closed. */
function entriesOf(events: EventEnvelope[], stands: (backs: EventEnvelope[]) => (left: EventEnvelope) => boolean): EventEnvelope[] {
  const left = events.filter(({ kind }) => kind === "left_off");
  const closed = events.findLast(({ kind, body }) => kind === "job_closed" && body["state"] === "left_off");
  const stood = closed && left.some(stands(events.filter(({ lamport }) => lamport < closed.lamport)));
  return [...left, ...(closed && !stood ? [closed] : [])].filter(stands(events));
}

/** null: all that was left off before. */
function namedBy({ body }: EventEnvelope): string[] | null {
  return (body["left_off_ids"] as string[] | null | undefined) ?? null;
}

/** By the server's clock, as well as the phone that wrote it knew it: one a day ahead would put back what was left off after it. */
export function whenMs({ at_wall, clock_offset }: Pick<EventEnvelope, "at_wall" | "clock_offset">): number {
  return (Date.parse(at_wall) || 0) + (clock_offset ?? 0);
}

function byWall(a: EventEnvelope, b: EventEnvelope): number {
  return whenMs(a) - whenMs(b) || (a.id < b.id ? -1 : 1);
}
