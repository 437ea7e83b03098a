/** The phone's database, version by version. Changes only add: an older shell must still work on a newer database. */
import type { DBSchema, IDBPDatabase, StoreNames } from "idb";
import type { Event } from "../generated/trade";
import type { AddressFacts, Danger, HistoryEntry, JobCard, Procedure, Record_, WalkAdvice } from "../core_types";

export const DATABASE_VERSION = 2;

/** The envelope of docs/sync.md. */
export type EventEnvelope = Event;

/** An event that this phone knows, its own or pulled. */
export interface EventRow {
  id: string;
  event: EventEnvelope;
  site_id: string;
  /** the job, or `site:` and the address where there is no job: lamport counts within it */
  scope: string;
  lamport: number;
  own: 0 | 1;
  /** when the server had it, by the server's clock in ms; null while only this phone has it */
  known_ms: number | null;
}

/** One event on its way out. The bytes are opaque: never parsed, never migrated. */
export interface OutboxRow {
  n?: number;
  id: string;
  job_id: string | null;
  codec: "plain" | "sealed";
  bytes: ArrayBuffer;
  state: "waiting" | "parked" | "held";
  code: string | null;
  message: string | null;
  saved_wall: string;
}

export interface PhotoRow {
  sha256: string;
  bytes: ArrayBuffer;
  media_type: string;
  state: "waiting" | "sent" | "pulled" | "parked";
  /** the own event that names it: it goes first; null for what was pulled */
  event_id: string | null;
  kept_ms: number;
}

export interface StreamRow {
  site_id: string;
  group_id: string;
  cursor: number;
  chain: string;
}

/** The stored view of a job: enough to paint it with no engine and no network. */
export interface JobRow {
  job_id: string;
  site_id: string;
  group_id: string;
  /** whose list it is in: a phone may change hands */
  person_id: string;
  /** who has it now, by name, where that is somebody else. Absent in a row that an older shell wrote */
  handed_to?: string | null;
  card: JobCard;
  record: Record_ | null;
  advice: WalkAdvice | null;
  /** absent in a row that an older shell wrote */
  danger?: readonly Danger[];
  history: HistoryEntry[];
  /** absent in a row that an older shell wrote */
  facts?: AddressFacts;
  procedure_hash: string | null;
  undoable: string[];
  /** counts up with every event that touched the job; `folded` is the count that the view shows */
  touched: number;
  folded: number;
  /** how many events of other jobs at this address `history` was made from */
  history_events: number;
  /** for each other job at this address: of how many events its entry in `history` was made */
  history_counts?: { [jobId: string]: number };
  /** what the card, and what facts and history, were made from: see address.ts. Absent in a row that an older shell wrote */
  card_stamp?: string;
  address_stamp?: string;
  /** the shell build that folded it: another build may fold otherwise */
  folded_by: string;
}

export interface ProcedureRow {
  hash: string;
  name: string;
  procedure: Procedure;
}

export interface LogRow {
  n?: number;
  at_wall: string;
  code: string;
  words: string;
}

export interface CoreSchema extends DBSchema {
  events: { key: string; value: EventRow; indexes: { by_scope: [string, number]; by_site: string } };
  outbox: { key: number; value: OutboxRow; indexes: { by_id: string; by_state: [string, number] } };
  photos: { key: string; value: PhotoRow; indexes: { by_state: string } };
  streams: { key: string; value: StreamRow };
  procedures: { key: string; value: ProcedureRow };
  jobs: { key: string; value: JobRow; indexes: { by_site: string } };
  settings: { key: string; value: unknown };
  /** larger things by name, read when they are needed: the company's data, what this phone keeps for itself */
  kept: { key: string; value: unknown };
  log: { key: number; value: LogRow };
}

export type StoreName = StoreNames<CoreSchema>;

/** Adds what is missing since `oldVersion`. */
export function upgrade(db: IDBPDatabase<CoreSchema>, oldVersion: number): void {
  if (oldVersion < 1) {
    const events = db.createObjectStore("events", { keyPath: "id" });
    events.createIndex("by_scope", ["scope", "lamport"]);
    events.createIndex("by_site", "site_id");
    const outbox = db.createObjectStore("outbox", { keyPath: "n", autoIncrement: true });
    outbox.createIndex("by_id", "id", { unique: true });
    outbox.createIndex("by_state", ["state", "n"]);
    db.createObjectStore("photos", { keyPath: "sha256" }).createIndex("by_state", "state");
    db.createObjectStore("streams", { keyPath: "site_id" });
    db.createObjectStore("procedures", { keyPath: "hash" });
    db.createObjectStore("jobs", { keyPath: "job_id" }).createIndex("by_site", "site_id");
    db.createObjectStore("settings");
    db.createObjectStore("log", { keyPath: "n", autoIncrement: true });
  }
  if (oldVersion < 2) db.createObjectStore("kept");
}
