/** The line of a job in the list: made from its events alone, because it must be there before the engine is. */
import type { JobCard } from "../core_types";
import type { EventEnvelope } from "./schema";

/** What is known of a job's address, beside the job's own events. */
export interface Surroundings {
  site: EventEnvelope[];
  /** complaint and last wall time of each earlier job of the address group; one that nobody began is a call and no visit */
  earlier: { complaint: string | null; last_wall: string; begun: boolean }[];
}

const RETURN_WINDOW_MS = 30 * 24 * 3_600_000; // common practice, no source: what the owner's pages call a return visit by default

/** Fold order of docs/sync.md. */
export function inFoldOrder(events: EventEnvelope[]): EventEnvelope[] {
  const key = (a: EventEnvelope, b: EventEnvelope): number =>
    a.lamport - b.lamport || compare(a.device_id, b.device_id) || a.dev_seq - b.dev_seq || compare(a.id, b.id);
  return [...events].sort(key);
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** Events that nothing later by the same person has taken back. */
export function live(events: EventEnvelope[]): EventEnvelope[] {
  const gone = new Set<string>();
  const byId = new Map(events.map((event) => [event.id, event]));
  const kept: EventEnvelope[] = [];
  for (const event of inFoldOrder(events).reverse()) {
    if (gone.has(event.id)) continue;
    kept.push(event);
    for (const id of event.replaces) {
      if (byId.get(id)?.person_id === event.person_id) gone.add(id);
    }
  }
  return kept.reverse();
}

export function cardOf(place: { job_id: string; site_id: string }, own: EventEnvelope[], around: Surroundings): JobCard {
  const events = live(own);
  const booked = events.findLast((event) => event.kind === "job_booked");
  const address = live(around.site).findLast((event) => event.kind === "address_given");
  const bookedMs = Date.parse(booked?.at_wall ?? "");
  const complaint = text(booked, "complaint");
  const visits = around.earlier.filter(({ begun }) => begun);
  return {
    ...place,
    street: text(address, "street") ?? "",
    town: text(address, "town") ?? "",
    phone: text(booked, "phone") ?? text(address, "phone"),
    complaint_words: text(booked, "complaint_words") ?? complaint ?? "",
    state: stateOf(events),
    visits_before: visits.length,
    calls_before: around.earlier.length - visits.length,
    returning: visits.some((visit) => visit.complaint === complaint && bookedMs - Date.parse(visit.last_wall) <= RETURN_WINDOW_MS),
    booked_at: booked?.at_wall ?? null,
    due_wall: dueOf(events),
  };
}

/** The appointment, as the fold has it: the last that was promised and not taken back. */
function dueOf(events: EventEnvelope[]): string | null {
  const said = events.filter(({ kind, body }) => (kind === "job_booked" || kind === "job_moved") && (body["due_wall"] || body["due_cleared"])).at(-1);
  return said?.body["due_cleared"] ? null : text(said, "due_wall");
}

const ON_SITE: ReadonlySet<string> = new Set(["job_opened", "arrived", "job_closed"]);

/** Whether anybody went: booked, moved or cancelled alone is no visit. */
export function isBegun(events: EventEnvelope[]): boolean {
  return events.some(({ kind }) => ON_SITE.has(kind));
}

/** The state that these live events leave the job in. */
export function stateOf(events: EventEnvelope[]): JobCard["state"] {
  if (events.some((event) => event.kind === "job_closed")) return "closed";
  if (isCancelled(events)) return "cancelled";
  return events.some((event) => event.kind === "job_opened") ? "open" : "booked";
}

/** As the fold has it: cancelled, and not moved to anybody since. */
function isCancelled(events: EventEnvelope[]): boolean {
  const last = events.filter((event) => event.kind === "job_cancelled" || event.kind === "job_moved").at(-1);
  return last?.kind === "job_cancelled";
}

export function text(event: EventEnvelope | undefined, key: string): string | null {
  const value = event?.body[key];
  return typeof value === "string" && value !== "" ? value : null;
}
