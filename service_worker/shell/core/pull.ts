/** Brings down what changed: the manifest, then each stream without a gap, then what the jobs need below ground. */
import { isManifest, isStreamPage, type StreamPage } from "./answers";
import type { Context } from "./context";
import type { WriteTx } from "./db";
import { rowOf } from "./events";
import { request } from "./http";
import { sameJson, wholeNumber } from "./checks";
import { offerKnownAgain, offerRefusedAgain } from "./offer";
import { rebuildJobs, refreshAll } from "./jobs";
import { pullPhotos, pullProcedures } from "./pull_files";
import type { EventEnvelope, StreamRow } from "./schema";
import { getSetting, putSettings, saveSettings, type Manifest, type ManifestStream } from "./settings";
import { SyncTrouble, expectJson, troubleOf } from "./trouble";

const PAGE_EVENTS = 500;
const NO_STREAM = { cursor: 0, chain: "" };

/** Throws SyncTrouble. What came before the trouble is kept; the next pull goes on from there. */
export async function pullAll(context: Context, token: string): Promise<void> {
  const { manifest, done } = await pullManifest(context, token);
  if (done) return refreshAll(context);
  for (const stream of manifest.streams) await pullStream(context, token, stream);
  await pullProcedures(context, token, manifest);
  await rebuildJobs(context, manifest);
  await pullPhotos(context, token, manifest);
  await saveSettings(context.db, { pulled_all: true });
}

/** `done`: nothing changed since a pull that got everything. */
async function pullManifest(context: Context, token: string): Promise<{ manifest: Manifest; done: boolean }> {
  const { db, platform } = context;
  const [etag, stored, epoch, done] = await db.read(["settings"], async (tx) => [
    await getSetting(tx, "etag"), await getSetting(tx, "manifest"), await getSetting(tx, "epoch"), await getSetting(tx, "pulled_all"),
  ] as const);
  const askedMs = platform.now();
  const reply = await request(platform, "manifest", { token, etag: stored ? etag : null });
  if (reply.kind === "unchanged" && stored) return { manifest: stored, done };
  const manifest = expectJson(reply);
  if (!isManifest(manifest)) throw troubleOf({ kind: "captive" });
  const offset = wholeNumber(Date.parse(manifest.server_time) - (askedMs + platform.now()) / 2);
  const newEpoch = epoch !== null && epoch !== manifest.epoch;
  const wall = new Date(platform.now()).toISOString();
  await db.write(["settings", "streams", "events", "outbox", "photos"], async (tx) => {
    // Whoever signed out or in meanwhile stays so: this answer is about the one before.
    if ((await getSetting(tx, "token")) !== token) throw new SyncTrouble("offline", "other_token");
    if (newEpoch) await startEpoch(tx, new Set(manifest.photos), platform.now() + (offset ?? 0), wall);
    await putSettings(tx, {
      manifest, epoch: manifest.epoch, etag: reply.kind === "json" ? reply.etag : null, clock_offset: offset, person: manifest.person, pulled_all: false,
    });
  });
  context.people = null;
  if (newEpoch) context.log.note("new_epoch", `${epoch} -> ${manifest.epoch}`);
  return { manifest, done: false };
}

/** The server was restored: pull anew, and give back what it may have lost. */
async function startEpoch(tx: WriteTx, photosThere: Set<string>, nowMs: number, wall: string): Promise<void> {
  const streams = await tx.objectStore("streams").getAll();
  await Promise.all(streams.map((stream) => tx.objectStore("streams").put({ ...stream, ...NO_STREAM })));
  await offerKnownAgain(tx, nowMs, wall);
  await offerRefusedAgain(tx, ["held"]);
  const photos = await tx.objectStore("photos").getAll();
  const lost = photos.filter(({ sha256, state }) => (state === "sent" || state === "pulled") && !photosThere.has(sha256));
  await Promise.all(lost.map((photo) => tx.objectStore("photos").put({ ...photo, state: "waiting" as const })));
}

async function pullStream(context: Context, token: string, wanted: ManifestStream): Promise<void> {
  let row = await streamRow(context, wanted);
  if (wanted.head < row.cursor || (wanted.head === row.cursor && wanted.chain !== row.chain)) row = await startAnew(context, row);
  let restarts = 0;
  while (row.cursor < wanted.head) {
    const page = await pullPage(context, token, row);
    if (page === "gone") return context.log.note("stream_gone", row.site_id); // since the manifest: the next one will not name it
    if (page === "other_chain") {
      if (++restarts > 1) throw new SyncTrouble("server", "other_chain");
      row = await startAnew(context, row);
    } else {
      if (page.events.length === 0) throw new SyncTrouble("server", "empty_page");
      row = await savePage(context, row, page);
    }
  }
}

async function streamRow(context: Context, { site_id, group_id }: ManifestStream): Promise<StreamRow> {
  const stored = await context.db.read(["streams"], (tx) => tx.objectStore("streams").get(site_id));
  const row = { ...NO_STREAM, ...stored, site_id, group_id };
  if (stored?.group_id !== group_id) await context.db.write(["streams"], (tx) => tx.objectStore("streams").put(row));
  return row;
}

/** Another chain: this server's past is not the one we pulled. */
async function startAnew(context: Context, row: StreamRow): Promise<StreamRow> {
  const { db, platform, log } = context;
  const next = { ...row, ...NO_STREAM };
  const wall = new Date(platform.now()).toISOString();
  await db.write(["streams", "events", "outbox", "settings"], async (tx) => {
    const offset = (await getSetting(tx, "clock_offset")) ?? 0;
    await tx.objectStore("streams").put(next);
    await offerKnownAgain(tx, platform.now() + offset, wall, row.site_id);
  });
  log.note("other_chain", row.site_id);
  return next;
}

async function pullPage(context: Context, token: string, row: StreamRow): Promise<StreamPage | "other_chain" | "gone"> {
  const path = `sites/${row.site_id}/events?after=${row.cursor}&chain=${encodeURIComponent(row.chain)}&limit=${PAGE_EVENTS}`;
  const reply = await request(context.platform, path, { token });
  if (reply.kind === "error" && reply.code === "other_chain") return "other_chain";
  if (reply.kind === "error" && reply.status === 404) return "gone";
  const page = expectJson(reply);
  if (!isStreamPage(page, row.site_id)) throw troubleOf({ kind: "captive" });
  // A gap would hide an event for ever: better no page than one with a hole.
  if (page.events.some(({ seq }, i) => seq !== row.cursor + 1 + i)) throw new SyncTrouble("server", "gap_in_stream");
  return page;
}

/** One page, its cursor and what it says of our own queue: together or not at all. */
async function savePage(context: Context, row: StreamRow, page: StreamPage): Promise<StreamRow> {
  const last = page.events.at(-1)!;
  const next: StreamRow = { ...row, cursor: last.seq, chain: last.chain };
  await context.db.write(["streams", "events", "outbox", "jobs", "settings"], async (tx) => {
    const deviceId = await getSetting(tx, "device_id");
    const touched = new Set<string | null>();
    for (const { event, received_at } of page.events) {
      if (await takeIn(tx, event, deviceId, Date.parse(received_at))) touched.add(event.job_id);
    }
    for (const jobId of touched) await touch(tx, jobId);
    await tx.objectStore("streams").put(next);
  });
  return next;
}

/** Whether it says something new: most of what comes back is what this phone has sent, and is folded already. */
async function takeIn(tx: WriteTx, event: EventEnvelope, deviceId: string, knownMs: number): Promise<boolean> {
  const mine = await tx.objectStore("events").get(event.id);
  await tx.objectStore("events").put(rowOf(event, event.device_id === deviceId ? 1 : 0, Number.isFinite(knownMs) ? knownMs : 0));
  const waiting = await tx.objectStore("outbox").index("by_id").get(event.id);
  // It is in the stream, so it is acknowledged, unless the server's event is another one under our id.
  const same = mine !== undefined && sameJson(mine.event, event);
  if (waiting && same) await tx.objectStore("outbox").delete(waiting.n!);
  return !same;
}

async function touch(tx: WriteTx, jobId: string | null): Promise<void> {
  const job = jobId === null ? undefined : await tx.objectStore("jobs").get(jobId);
  if (job) await tx.objectStore("jobs").put({ ...job, touched: job.touched + 1 });
}
