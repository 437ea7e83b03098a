/** What the screens may ask of the core (store, outbox, sync, engine). Screens import this and nothing below it. */
import type { Signal, ReadonlySignal } from "@preact/signals-core";
import type { FoundBefore, FoundElsewhere, Procedure, Record_, WalkAdvice, HistoryEntry, InstrumentKind, Mark } from "./generated/trade";

export type { Procedure, Record_, WalkAdvice, HistoryEntry, InstrumentKind };

/** An event before the core gives it an id, counters and a time. */
export interface Draft {
  kind: string;
  schema?: number; // 1 unless said
  body: { [key: string]: unknown };
  replaces?: string[];
  /** of a withdrawal: what those took the place of goes with them: a photo, with the words that were said of it later */
  whole?: true;
  /** null: belongs to the address, not the job */
  job?: null;
}

export interface Photo {
  bytes: ArrayBuffer; // already scaled, JPEG
  sha256: string;
  width_px: number;
  height_px: number;
}

/** A limit, minimum or point that the maker prints, typed by the office from the maker's own paper. */
export interface ModelLimit {
  quantity: string;
  value: number;
  where: string | null;
}

/** What a control of that model shows, and what the maker says it means. `could_be`: parts of the safety chain that may be open. */
export interface ModelCode {
  flash_groups: string | null;
  text: string | null;
  meaning_words: string;
  could_be: readonly string[];
}

/** What the maker allows of the vent in one size of pipe, in the names of the procedure's readings. */
export interface ModelVent {
  nominal_in: number;
  figures: { readonly [quantity: string]: number };
}

export interface ModelSheet {
  model_sheet_id: string;
  procedure_name: string;
  maker_words: string;
  model_words: string;
  limits: readonly ModelLimit[];
  codes: readonly ModelCode[];
  vent: readonly ModelVent[];
  words: string | null;
}

/** What the company keeps for all its phones, and what it says of the person signed in. */
export interface Company {
  settings: { co_ladder: string | null; office_phone: string | null };
  person: { licence_words: string | null; licence_expires_on: string | null };
  model_sheets: readonly ModelSheet[];
}

/** An instrument that is carried from job to job. What was done to it today is said anew at each job. */
export interface Instrument {
  instrument_id: string;
  instrument_kind: InstrumentKind;
  serial_words: string;
  calibrated_on: string | null;
  /** what the last job said of it, and on which day */
  last: { carried: boolean; bump_tested: boolean; zeroed: boolean; day: string } | null;
}

/** A clock that runs beside the work: it rings nowhere, it says how long it is over. */
export interface Timer {
  job_id: string;
  words: string;
  due_wall: string;
}

/** What this phone keeps for itself, beside the jobs. */
export interface OwnThings {
  instruments: readonly Instrument[];
  timers: readonly Timer[];
  /** of several instruments of one kind, the one that was tapped last */
  tapped_instruments?: readonly string[];
  /** whom the office was last to ring, where it was not the customer */
  ring_phone?: string;
}

/** A heater of the address as it was last described, at whichever visit. */
export interface KnownHeater {
  appliance_id: string;
  kind: string;
  fuel: string | null;
  maker_words: string | null;
  model_words: string | null;
  serial_words: string | null;
  input_btu_h: number | null;
  location_words: string | null;
  model_sheet_id: string | null;
}

/** Left off at another visit; `appliance_ids`: the heaters that its job described. */
export interface LeftOff {
  event_id: string;
  wall: string;
  what_words: string;
  why_words: string | null;
  appliance_ids: readonly string[];
  /** the most CO that its visit read in the room; a row that an older shell wrote does not say */
  room_co_ppm?: number | null;
  /** when another visit last found it in service, and nobody has shut it off or put it back since */
  found_wall?: string | null;
}

/** Found unsafe at another visit; without the rules nobody says yet by which check of this job it is looked at again. */
export type FoundHere = FoundElsewhere & Partial<FoundBefore>;

/** What earlier visits and the address itself say beside the histories. */
export interface AddressFacts {
  heaters: readonly KnownHeater[];
  /** left off at other visits and not put back, the oldest first; what this job put back by name is in its record */
  left_off: readonly LeftOff[];
  /** found unsafe at visits that are not closed, and not looked at by another one since, what stops a visit first; an older shell knows of none */
  elsewhere?: readonly FoundElsewhere[];
  /** open jobs there whose caller alarms, this one's own too; an older shell knows of none */
  calls?: readonly CallAlarm[];
  access_words: string | null;
}

/** What a caller said yes to, or was not sure of. */
export interface CallAlarm {
  job_id: string | null;
  wall: string;
  at_ms: number;
  /** the looks that answer it */
  asked: readonly string[];
  words: string;
  /** the booking's own words, and the number it names; absent in a row that an older shell wrote */
  said?: string | null;
  phone?: string | null;
}

/** What stops the visit or was found unsafe, and stands. */
export interface Danger {
  check: string;
  /** "CO in the room: Leave now, 90 ppm" */
  words: string;
  stops: boolean;
  /** who noted it, and when */
  by: Mark | null;
  /** another visit to the address found it */
  elsewhere?: boolean;
  /** a caller said it: no finding; `check` is the first look that this visit owes it */
  call?: CallAlarm;
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
  /** earlier calls from there to which nobody went, or not yet */
  calls_before?: number;
  returning: boolean;
  booked_at: string | null;
  /** the appointment that was promised */
  due_wall?: string | null;
  /** a heater was left off and the office has not been rung */
  office_not_told?: boolean;
  /** another visit left a heater off there, and nobody put it back */
  stands_off?: boolean;
  /** who has it now, where it went to somebody else */
  handed_to?: string | null;
  /** closed as handed over: to whom, in the words of whoever closed it */
  handed_words?: string | null;
  /** what stops the visit, then what is unsafe and not left off */
  danger?: readonly Danger[];
  /** found unsafe and only looked at again: closed or not, nothing shows that it was put right */
  again?: string | null;
  /** agreed with the office, and not heard from since */
  due_out_wall?: string | null;
}

export interface QueueLine {
  waiting: number;
  refused: readonly string[]; // ids of events that the server rejected
  parked: number; // rejected by the server: kept, can be saved to a file
  waiting_since: string | null; // wall time of the oldest
  sent_at: string | null;
  photos_waiting: number;
  trouble: null | "offline" | "signed_out" | "revoked" | "server" | "captive" | "disk_full" | "update_blocked";
}

export interface Readiness {
  ready: boolean;
  steps: { id: "installed" | "signed_in" | "shell" | "engine" | "jobs" | "procedures" | "persisted" | "company"; done: boolean; words: string }[];
}

/** All that a job's screens show. `advice` is null while the engine starts: screens paint without it. */
export interface JobView {
  card: JobCard;
  record: Record_;
  procedure: Procedure | null;
  advice: WalkAdvice | null;
  history: HistoryEntry[]; // earlier visits at this address, newest first
  facts: AddressFacts;
  /** what other visits found unsafe, and this one has not looked at since */
  elsewhere: readonly FoundHere[];
  /** as the record last folded has it: also while the rules are away */
  danger: readonly Danger[];
  /** event ids of this device's last act, while undo is possible */
  undoable: string[];
  people: { [id: string]: string };
}

/** What was typed on a form of a job and is not saved. It stays on this phone, and is no part of any record. */
export interface UnsavedForm {
  /** where the form is */
  href: string;
  title: string;
  /** of the last change */
  at_wall: string;
  /** how far the job's record had come then: a form that was saved since is no longer unsaved */
  lamport: number;
  /** the visit, and before or after which repair: a figure typed at a check counts for no other */
  visit: string;
  values: { [name: string]: unknown };
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
  /** null until it has come down once */
  company: ReadonlySignal<Company | null>;
  own: ReadonlySignal<OwnThings>;
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
  /** The same, of a job's events: what proof is due, how it may be closed. */
  askOfJob<T>(jobId: string, name: string, args?: { [key: string]: unknown }): Promise<T>;
  photoBytes(sha256: string): Promise<ArrayBuffer | null>;
  syncNow(): Promise<void>;
  /** Keeps instruments and timers on this phone. */
  keepOwn(things: Partial<OwnThings>): Promise<void>;
  saveQueueToFile(): Promise<{ name: string; json: string }>;
  /** What this person typed in a job and did not save, form by form. */
  unsaved(person: string, job: string): Promise<UnsavedForm[]>;
  /** null: it is saved, or thrown away. */
  keepUnsaved(person: string, job: string, href: string, form: UnsavedForm | null): Promise<void>;
  applyUpdate(): void;
}

export class CoreError extends Error {
  constructor(readonly code: string, message: string) { super(message); }
}
