/** The list of jobs, made anew after a pull: which are this phone's, what each needs, and its stored view. */
import { live, text } from "./cards";
import type { Context } from "./context";
import type { WriteTx } from "./db";
import { KEEP_MS } from "./offer";
import type { EventEnvelope, JobRow, ProcedureRow } from "./schema";
import { getSetting, type Manifest, type ManifestJob } from "./settings";
import { dropUnsaved } from "./unsaved";
import { refreshCard, refreshJob } from "./views";

/** Makes list and views from what was pulled. A job that cannot be folded does not stop the others. */
export async function rebuildJobs(context: Context, manifest: Manifest): Promise<void> {
  const { db, platform } = context;
  const mine = manifest.jobs.filter((job) => job.technician_id === manifest.person.id);
  const keep = new Set([...mine.map(({ job_id }) => job_id), context.openJobId ?? ""]);
  await db.write(["jobs", "events", "streams", "procedures", "photos", "settings", "kept"], async (tx) => {
    await partStreams(tx, manifest);
    for (const job of mine) await keepJob(tx, job, manifest);
    await keepHandedOver(tx, manifest);
    await dropOthers(tx, keep, manifest.person.id);
    await dropOld(tx, manifest, platform.now() + ((await getSetting(tx, "clock_offset")) ?? 0));
  });
  await refreshAll(context);
}

/** Two addresses that are no longer one: what this phone sees no more must not go on as the history of the one it does. */
async function partStreams(tx: WriteTx, { streams }: Manifest): Promise<void> {
  const visible = new Set(streams.map(({ site_id }) => site_id));
  const groups = new Set(streams.map(({ group_id }) => group_id));
  const parted = (await tx.objectStore("streams").getAll()).filter(({ site_id, group_id }) => !visible.has(site_id) && groups.has(group_id));
  await Promise.all(parted.map((row) => tx.objectStore("streams").put({ ...row, group_id: row.site_id })));
}

/** Brings every stored view up to date; what is fresh costs a look. */
export async function refreshAll(context: Context): Promise<void> {
  for (const jobId of await context.db.read(["jobs"], (tx) => tx.objectStore("jobs").getAllKeys())) {
    const fresh = refreshJob(context, jobId).then((found) => found?.kept);
    await fresh.catch((error: unknown) => context.log.error("fold_failed", error));
  }
}

async function keepJob(tx: WriteTx, { job_id, site_id }: ManifestJob, manifest: Manifest): Promise<void> {
  const stored = await tx.objectStore("jobs").get(job_id);
  const stream = manifest.streams.find((found) => found.site_id === site_id);
  const events = await tx.objectStore("events").index("by_scope").getAll(IDBKeyRange.bound([job_id], [job_id, []]));
  const procedures = await tx.objectStore("procedures").getAll();
  const group_id = stream?.group_id ?? site_id;
  const procedure_hash = procedureOf(events.map(({ event }) => event), procedures, manifest.procedures);
  const changed = stored !== undefined && stored.procedure_hash !== procedure_hash;
  await refreshCard(tx, {
    ...(stored ?? blank(job_id, site_id)), group_id, procedure_hash, person_id: manifest.person.id, handed_to: null, touched: (stored?.touched ?? 1) + (changed ? 1 : 0),
  }, stored);
}

/** The version it was opened with, for good; before that, the current one of the name that it is booked under, corrected or not. */
function procedureOf(events: EventEnvelope[], procedures: ProcedureRow[], currentFirst: string[]): string | null {
  const own = live(events);
  const opened = text(own.findLast((event) => event.kind === "job_opened"), "procedure_hash");
  if (opened) return opened;
  const name = text(own.findLast(({ kind, body }) => (kind === "job_booked" || kind === "job_moved") && body["procedure_name"]), "procedure_name");
  return currentFirst.find((hash) => procedures.some((row) => row.hash === hash && row.name === name)) ?? null;
}

function blank(job_id: string, site_id: string): JobRow {
  const card = {
    job_id, site_id, street: "", town: "", phone: null, complaint_words: "", state: "booked" as const, visits_before: 0, returning: false, booked_at: null,
  };
  return {
    job_id, site_id, group_id: site_id, person_id: "", card, record: null, advice: null, history: [], procedure_hash: null,
    undoable: [], touched: 1, folded: 0, history_events: 0, folded_by: "",
  };
}

/** What went to somebody else is theirs to do; who had it before sees who has it now. */
async function keepHandedOver(tx: WriteTx, { jobs, people }: Manifest): Promise<void> {
  for (const row of await tx.objectStore("jobs").getAll()) {
    const job = jobs.find(({ job_id }) => job_id === row.job_id);
    if (!job || job.technician_id === row.person_id) continue;
    const handed_to = job.technician_id === null ? "nobody yet" : (people.find(({ id }) => id === job.technician_id)?.name ?? "somebody else");
    await refreshCard(tx, { ...row, handed_to }, row);
  }
}

/** A job that went to somebody else leaves the list, but not while this phone has a part in it. */
async function dropOthers(tx: WriteTx, keep: Set<string>, person: string): Promise<void> {
  const gone = (await tx.objectStore("jobs").getAllKeys()).filter((id) => !keep.has(id));
  for (const id of gone) {
    const rows = await tx.objectStore("events").index("by_scope").getAll(IDBKeyRange.bound([id], [id, []]));
    if (!rows.some(({ own }) => own)) await Promise.all([tx.objectStore("jobs").delete(id), dropUnsaved(tx, person, id)]);
  }
}

/** What this phone no longer sees goes 30 days after the server had it; until then it can be given back. */
async function dropOld(tx: WriteTx, manifest: Manifest, nowMs: number): Promise<void> {
  const visible = new Set(manifest.streams.map(({ site_id }) => site_id));
  for (const siteId of (await storedSites(tx)).filter((id) => !visible.has(id))) {
    const rows = await tx.objectStore("events").index("by_site").getAll(siteId);
    if (rows.some(({ known_ms }) => known_ms === null || known_ms > nowMs - KEEP_MS)) continue;
    await Promise.all([...rows.map(({ id }) => tx.objectStore("events").delete(id)), tx.objectStore("streams").delete(siteId)]);
  }
  const listed = new Set(manifest.photos);
  const photos = await tx.objectStore("photos").getAll();
  const old = photos.filter(({ sha256, state, kept_ms }) => (state === "sent" || state === "pulled") && !listed.has(sha256) && kept_ms < nowMs - KEEP_MS);
  await Promise.all(old.map(({ sha256 }) => tx.objectStore("photos").delete(sha256)));
}

async function storedSites(tx: WriteTx): Promise<string[]> {
  const sites: string[] = [];
  let cursor = await tx.objectStore("events").index("by_site").openKeyCursor(null, "nextunique");
  for (; cursor; cursor = await cursor.continue()) sites.push(cursor.key);
  return sites;
}
