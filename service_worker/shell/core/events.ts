/** Turns drafts into events: ids, counters, and the one transaction in which an act becomes true. */
import { CoreError, type Draft, type Photo } from "../core_types";
import { live, stateOf } from "./cards";
import { isQuota, type Database, type WriteTx } from "./db";
import { uuid7 } from "./ids";
import type { Platform } from "./platform";
import type { EventEnvelope, EventRow, JobRow, StoreName } from "./schema";
import { getSetting, putSettings, type Settings } from "./settings";

export const FULL_WORDS = "This phone's storage is full. Everything saved before is safe. Free some space, then try again.";

export interface Saved {
  ids: string[];
  /** by the phone's clock, when the transaction completed */
  saved_wall: string;
  photoDropped: boolean;
}

/** Told inside the transaction, before the disk has it: the rules may begin meanwhile. What they say counts only once it is saved. */
export type OnStamped = (row: JobRow, own: EventEnvelope[]) => void;

interface Prepared {
  draft: Draft;
  id: string;
}

/** The job, or the address where there is no job: the lamport counter counts within it. */
export function scopeOf(event: { site_id: string; job_id: string | null }): string {
  return event.job_id ?? `site:${event.site_id}`;
}

export function encode(event: EventEnvelope): ArrayBuffer {
  return new TextEncoder().encode(JSON.stringify(event)).buffer as ArrayBuffer;
}

/**
 * Saves an act: all its events, the photo and the rows on their way out, or nothing of it. When the disk is full, room is made
 * of photos that can be fetched again; then the text is saved without the photo, and without the event that would name it.
 */
export async function saveAct(
  db: Database, platform: Platform, jobId: string, drafts: Draft[], photo?: Photo, onStamped: OnStamped = () => undefined,
): Promise<Saved> {
  if (photo && !drafts.some((draft) => names(draft, photo))) {
    throw new CoreError("photo_not_named", "A photo needs a photo_taken event that names it.");
  }
  const prepared = drafts.map((draft) => ({ draft, id: uuid7(platform.now(), platform.randomBytes(10)) }));
  const whole = (): Promise<Saved | null> => unlessFull(writeAct(db, platform, jobId, prepared, photo, onStamped));
  const saved = (await whole()) ?? ((await dropPulledPhotos(db)) ? await whole() : null);
  if (saved) return saved;
  const text = photo ? prepared.filter(({ draft }) => !names(draft, photo)) : [];
  const textSaved = text.length > 0 ? await unlessFull(writeAct(db, platform, jobId, text, undefined, onStamped)) : null;
  if (!textSaved) throw new CoreError("disk_full", FULL_WORDS);
  return { ...textSaved, photoDropped: true };
}

/** null: the disk has no room for it. */
async function unlessFull<T>(work: Promise<T>): Promise<T | null> {
  try {
    return await work;
  } catch (error) {
    if (isQuota(error)) return null;
    throw error;
  }
}

/** What was saved here comes before what the server still has. Says whether there was anything to drop. */
async function dropPulledPhotos(db: Database): Promise<boolean> {
  const dropped = await unlessFull(db.write(["photos"], async (tx) => {
    const keys = await tx.objectStore("photos").index("by_state").getAllKeys("pulled");
    await Promise.all(keys.map((key) => tx.objectStore("photos").delete(key)));
    return keys.length;
  }));
  return (dropped ?? 0) > 0;
}

function names(draft: Draft, photo: Photo): boolean {
  return draft.kind === "photo_taken" && draft.body["sha256"] === photo.sha256;
}

async function writeAct(
  db: Database, platform: Platform, jobId: string, acts: Prepared[], photo: Photo | undefined, onStamped: OnStamped,
): Promise<Saved> {
  const stores: StoreName[] = ["settings", "events", "outbox", "jobs", ...(photo ? (["photos"] as const) : [])];
  const wall = new Date(platform.now()).toISOString();
  await db.write(stores, async (tx) => {
    // All that is read is asked for at once: one after the other it was eight turns of the disk's side before the first write.
    const [known, job, before, counters] = await Promise.all([
      tx.objectStore("events").getKey(acts[0]?.id ?? ""),
      tx.objectStore("jobs").get(jobId),
      tx.objectStore("events").index("by_scope").getAll(IDBKeyRange.bound([jobId], [jobId, []])),
      readCounters(tx),
    ]);
    if (known) return; // run again after a lost `complete`
    if (!job) throw new CoreError("job_unknown", "This job is not on this phone.");
    const atSite = acts.some(({ draft }) => draft.job === null) ? await highestLamport(tx, `site:${job.site_id}`) : 0;
    const events = stamp(job, acts.map((one) => wholly(one, before.filter(({ event }) => event.person_id === counters.person?.id))), wall, counters, new Map([[jobId, before.at(-1)?.lamport ?? 0], [`site:${job.site_id}`, atSite]]));
    const own = [...before.map(({ event }) => event), ...events.filter(({ job_id }) => job_id === jobId)];
    const ids = events.map((event) => event.id);
    const undoable = acts.every(({ draft }) => draft.kind === "withdrawn") ? [] : ids;
    const row = { ...job, card: { ...job.card, state: stateOf(live(own)) }, undoable, touched: job.touched + 1 };
    const done = Promise.all([
      putSettings(tx, { dev_seq: counters.dev_seq + events.length }),
      ...events.map((event) => addOwn(tx, event, wall)),
      ...(photo ? [addPhoto(tx, events.find(({ body }) => body["sha256"] === photo.sha256)?.id ?? null, photo, platform.now())] : []),
      tx.objectStore("jobs").put(row),
    ]);
    onStamped(row, own);
    await done;
  });
  return { ids: acts.map(({ id }) => id), saved_wall: wall, photoDropped: false };
}

/** What takes the place of a correction takes that of what it had corrected too; only an undo gives it back. What another person's entry names is not followed: it may be one's own. */
function wholly(act: Prepared, rows: EventRow[]): Prepared {
  return act.draft.whole || act.draft.kind !== "withdrawn" ? { ...act, draft: { ...act.draft, replaces: andBefore(act.draft.replaces ?? [], rows.map(({ event }) => event)) } } : act;
}

/** These events, and all whose place they took, one after the other. */
export function andBefore(ids: readonly string[], events: readonly EventEnvelope[]): string[] {
  const all = new Set(ids);
  for (const id of all) events.find((event) => event.id === id)?.replaces.forEach((one) => all.add(one)); // grows while it is walked
  return [...all];
}

type Counters = Pick<Settings, "person" | "device_id" | "clock_offset" | "dev_seq">;

async function readCounters(tx: WriteTx): Promise<Counters> {
  const [person, device_id, clock_offset, dev_seq] = await Promise.all([
    getSetting(tx, "person"), getSetting(tx, "device_id"), getSetting(tx, "clock_offset"), getSetting(tx, "dev_seq"),
  ]);
  return { person, device_id, clock_offset, dev_seq };
}

/** Gives each draft its counters, read and moved on inside the same transaction: no hole, no number twice. `lamports`: the highest of each scope. */
function stamp(job: JobRow, acts: Prepared[], wall: string, { person, device_id, clock_offset, dev_seq }: Counters, lamports: Map<string, number>): EventEnvelope[] {
  if (!person) throw new CoreError("signed_out", "Nobody is signed in on this phone. What was saved before is safe.");
  return acts.map(({ draft, id }, n) => {
    const place = { site_id: job.site_id, job_id: draft.job === null ? null : job.job_id };
    const scope = scopeOf(place);
    const lamport = (lamports.get(scope) ?? 0) + 1;
    lamports.set(scope, lamport);
    return {
      id, ...place, person_id: person.id, device_id, dev_seq: dev_seq + n + 1, lamport, at_wall: wall, clock_offset,
      kind: draft.kind, schema: draft.schema ?? 1, replaces: draft.replaces ?? [], body: draft.body,
    };
  });
}

async function highestLamport(tx: WriteTx, scope: string): Promise<number> {
  const range = IDBKeyRange.bound([scope], [scope, []]);
  const last = await tx.objectStore("events").index("by_scope").openKeyCursor(range, "prev");
  return last ? last.key[1] : 0;
}

async function addOwn(tx: WriteTx, event: EventEnvelope, wall: string): Promise<void> {
  await Promise.all([
    tx.objectStore("events").add(rowOf(event, 1, null)),
    tx.objectStore("outbox").add({
      id: event.id, job_id: event.job_id, codec: "plain", bytes: encode(event), state: "waiting", code: null, message: null, saved_wall: wall,
    }),
  ]);
}

export function rowOf(event: EventEnvelope, own: 0 | 1, knownMs: number | null): EventRow {
  return { id: event.id, event, site_id: event.site_id, scope: scopeOf(event), lamport: event.lamport, own, known_ms: knownMs };
}

async function addPhoto(tx: WriteTx, event_id: string | null, photo: Photo, keptMs: number): Promise<void> {
  await tx.objectStore("photos").put({
    sha256: photo.sha256, bytes: photo.bytes, media_type: "image/jpeg", state: "waiting", event_id, kept_ms: keptMs,
  });
}
