/** What the screens may ask of the core (store, outbox, sync, engine). Screens import this and nothing below it. */
import type { Signal, ReadonlySignal } from "@preact/signals-core";
import type { Procedure, Record_, WalkAdvice, HistoryEntry } from "./generated/trade";

export type { Procedure, Record_, WalkAdvice, HistoryEntry };

/** An event before the core gives it an id, counters and a time. */
export interface Draft {
  kind: string;
  schema?: number; // 1 unless said
  body: { [key: string]: unknown };
  replaces?: string[];
  /** null: belongs to the address, not the job */
  job?: null;
}

export interface Photo {
  bytes: ArrayBuffer; // already scaled, JPEG
  sha256: string;
  width_px: number;
  height_px: number;
}

/** A line in the list of jobs; painted from the store alone. */
export interface JobCard {
  job_id: string;
  site_id: string;
  street: string;
  town: string;
  phone: string | null;
  complaint_words: string;
  state: "booked" | "open" | "closed" | "cancelled";
  visits_before: number;
  returning: boolean;
  booked_at: string | null;
}

export interface QueueLine {
  waiting: number;
  parked: number; // rejected by the server: kept, can be saved to a file
  waiting_since: string | null; // wall time of the oldest
  sent_at: string | null;
  photos_waiting: number;
  trouble: null | "offline" | "signed_out" | "revoked" | "server" | "captive" | "disk_full" | "update_blocked";
}

export interface Readiness {
  ready: boolean;
  steps: { id: "installed" | "signed_in" | "shell" | "engine" | "jobs" | "procedures" | "persisted"; done: boolean; words: string }[];
}

/** All that a job's screens show. `advice` is null while the engine starts: screens paint without it. */
export interface JobView {
  card: JobCard;
  record: Record_;
  procedure: Procedure | null;
  advice: WalkAdvice | null;
  history: HistoryEntry[]; // earlier visits at this address, newest first
  /** event ids of this device's last act, while undo is possible */
  undoable: string[];
  people: { [id: string]: string };
}

export interface SavedAct {
  view: JobView;
  saved_at: string;
}

export interface Core {
  jobs: ReadonlySignal<JobCard[]>;
  queue: ReadonlySignal<QueueLine>;
  readiness: ReadonlySignal<Readiness>;
  person: ReadonlySignal<{ id: string; name: string } | null>;
  updateWaiting: ReadonlySignal<boolean>;
  /** the job on screen; refreshed after acts and pulls */
  view: Signal<JobView | null>;

  start(): Promise<void>; // local only: no network, no engine
  enrol(code: string): Promise<void>; // throws CoreError
  signOut(): Promise<void>; // keeps the queue
  openJob(jobId: string): Promise<JobView>;
  /** Writes all drafts (and the photo) in one strict transaction; resolves on `complete`, with fresh advice. */
  act(jobId: string, drafts: Draft[], photo?: Photo): Promise<SavedAct>;
  undoLast(jobId: string): Promise<SavedAct>;
  /** Pure questions to trade/ (units, suction_outcome, …). */
  ask<T>(name: string, args: unknown): Promise<T>;
  photoBytes(sha256: string): Promise<ArrayBuffer | null>;
  syncNow(): Promise<void>;
  saveQueueToFile(): Promise<{ name: string; json: string }>;
  applyUpdate(): void;
}

export class CoreError extends Error {
  constructor(readonly code: string, message: string) { super(message); }
}
