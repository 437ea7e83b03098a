/** The stored view of a job: painted at once from the store, brought up to date by the engine. */
import { CoreError, type AddressFacts, type Danger, type Draft, type HistoryEntry, type JobView, type Procedure, type Record_, type WalkAdvice } from "../core_types";
import { BUILD } from "../generated/shell_assets";
import { readAddress, stampOf, type Address } from "./address";
import { addressFacts, NO_FACTS, saidOnly } from "./address_facts";
import { cardOf, isBegun, live, text } from "./cards";
import type { Context } from "./context";
import { dangerOf } from "./danger";
import type { WriteTx } from "./db";
import { alarmsAt } from "./alarms";
import { foundAt, foundElsewhere, type AskOfVisit } from "./elsewhere";
import type { EventEnvelope, JobRow } from "./schema";
import { getSetting } from "./settings";

/** Makes the card anew, inside the transaction that changed its job; `before` is the row as it is stored. */
export async function refreshCard(tx: WriteTx, row: JobRow, before: JobRow | undefined): Promise<void> {
  const card_stamp = await stampOf(tx, row);
  if (before?.card_stamp === card_stamp) {
    if (before.group_id !== row.group_id || before.person_id !== row.person_id || (before.handed_to ?? null) !== (row.handed_to ?? null)) await tx.objectStore("jobs").put(row);
    return;
  }
  const { own, site, others } = await readAddress(tx, row);
  const earlier = earlierJobs(own, others).map(([, events]) => ({
    complaint: text(live(events).findLast((event) => event.kind === "job_booked"), "complaint"),
    last_wall: lastWall(events),
    begun: isBegun(live(events)),
  }));
  const card = cardOf({ job_id: row.job_id, site_id: row.site_id }, own, { site, earlier });
  await tx.objectStore("jobs").put({ ...row, card, card_stamp });
}

/** A view brought up to date. It can be shown at once; `kept` says when it is stored as well. */
export interface Fresh {
  row: JobRow;
  kept: Promise<unknown>;
}

/** Brings record, advice and history up to date; null when the job is not here. Costs a count when nothing changed. */
export async function refreshJob(context: Context, jobId: string): Promise<Fresh | null> {
  const found = await context.db.read(["events", "jobs", "streams", "procedures"], async (tx) => {
    const row = await tx.objectStore("jobs").get(jobId);
    if (!row) return null;
    const walks = row.procedure_hash !== null && (await tx.objectStore("procedures").getKey(row.procedure_hash)) !== undefined;
    const fresh = isFresh(row) && (row.advice !== null || !walks);
    const stamp = await stampOf(tx, row);
    return { row, stamp, fresh, address: fresh && row.address_stamp === stamp ? null : await readAddress(tx, row) };
  });
  if (!found?.address) return found && { row: found.row, kept: Promise.resolve() };
  const { row, stamp, fresh, address } = found;
  const procedure = await procedureOf(context, row.procedure_hash);
  const elsewhere = await foundAt(address, askOfVisit(context)).catch((error: unknown) => {
    context.log.error("elsewhere_not_read", error); // what was known of it stays; this job's own record must not wait
    return row.facts?.elsewhere ?? [];
  });
  const idle = await saidOnly(address, (events) => context.engine.call<Record_>("fold_job", { events }));
  const facts = { ...addressFacts(address, idle), elsewhere, calls: alarmsAt(address) };
  const same = fresh && JSON.stringify(advisedUpon(facts)) === JSON.stringify(advisedUpon(row.facts));
  const folded = same ? {} : { ...(await step(context, row, address.own, procedure, facts)), folded: row.touched, folded_by: BUILD };
  const history = await histories(context, address).catch((error: unknown) => {
    context.log.error("history_failed", error); // this job's own record must not wait for an earlier one's trouble
    return null;
  });
  const around: Partial<JobRow> = { facts, ...(history && { ...history, address_stamp: stamp }) };
  const kept = context.db.writeDerived(["jobs"], async (tx) => {
    const latest = await tx.objectStore("jobs").get(jobId);
    const newer = latest && latest.folded > row.touched && latest.folded_by === BUILD; // an act was folded ahead meanwhile
    if (latest) await tx.objectStore("jobs").put({ ...latest, ...(newer ? {} : folded), ...around });
  });
  return { row: { ...row, ...folded, ...around }, kept };
}

/** What of other visits the rules are told. */
function advisedUpon(facts: AddressFacts | undefined): { off_before: AddressFacts["left_off"]; found: AddressFacts["elsewhere"] } {
  return { off_before: facts?.left_off ?? [], found: facts?.elsewhere ?? [] };
}

/** The view that an act leads to, folded while the act is on its way to the disk. Events elsewhere at the address stay as they were. */
export async function foldAhead(context: Context, row: JobRow, own: EventEnvelope[]): Promise<JobRow> {
  return { ...row, ...(await step(context, row, own, await procedureOf(context, row.procedure_hash), row.facts)), folded: row.touched, folded_by: BUILD };
}

/** Stores what was folded ahead, unless something newer is there. */
export function keepFolded(context: Context, { job_id, record, advice, danger, folded, folded_by }: JobRow): Promise<void> {
  return context.db.writeDerived(["jobs"], async (tx) => {
    const latest = await tx.objectStore("jobs").get(job_id);
    if (latest && latest.folded < folded) await tx.objectStore("jobs").put({ ...latest, record, advice, ...(danger && { danger }), folded, folded_by });
  });
}

function isFresh(row: JobRow): boolean {
  return isOfThisBuild(row) && row.folded === row.touched;
}

/** An older build's record has another shape: today's screens may stumble over what it does not say. */
export function isOfThisBuild(row: JobRow): boolean {
  return row.record !== null && row.folded_by === BUILD;
}

/** The stored row of a job: what a screen shows of it needs no engine. */
export async function storedRow(context: Context, jobId: string): Promise<JobRow> {
  const row = await context.db.read(["jobs"], (tx) => tx.objectStore("jobs").get(jobId));
  if (!row) throw new CoreError("job_unknown", "This job is not on this phone.");
  return row;
}

/** What a screen shows, from the row alone; null until the job has been folded once. */
export async function viewOf(context: Context, row: JobRow): Promise<JobView | null> {
  if (!row.record) return null;
  const procedure = await procedureOf(context, row.procedure_hash);
  const advice = row.folded === row.touched ? row.advice : null;
  const facts = row.facts ?? NO_FACTS;
  return {
    card: { ...row.card, handed_to: row.handed_to ?? null },
    record: row.record,
    procedure,
    advice,
    history: row.history,
    facts,
    elsewhere: foundElsewhere({ advice, facts }),
    danger: row.danger ?? [],
    undoable: row.undoable,
    people: await peopleNames(context),
  };
}

async function peopleNames(context: Context): Promise<{ [id: string]: string }> {
  const manifest = context.people ? null : await context.db.read(["settings"], (tx) => getSetting(tx, "manifest"));
  return (context.people ??= Object.fromEntries((manifest?.people ?? []).map(({ id, name }) => [id, name])));
}

/** What takes back this phone's last act on the job: an undo stands where the event stands, at the job or at the address. */
export async function undoDrafts(context: Context, jobId: string): Promise<Draft[]> {
  const events = await context.db.read(["events", "jobs"], async (tx) => {
    const ids = (await tx.objectStore("jobs").get(jobId))?.undoable ?? [];
    return Promise.all(ids.map((id) => tx.objectStore("events").get(id)));
  });
  const ids = (atJob: boolean): string[] => events.flatMap((row) => (row && (row.event.job_id !== null) === atJob ? [row.id] : []));
  const drafts: Draft[] = [
    { kind: "withdrawn", body: {}, replaces: ids(true) },
    { kind: "withdrawn", body: {}, replaces: ids(false), job: null },
  ];
  const wanted = drafts.filter(({ replaces }) => replaces && replaces.length > 0);
  if (wanted.length === 0) throw new CoreError("nothing_to_undo", "There is nothing left to undo here.");
  return wanted;
}

async function procedureOf(context: Context, hash: string | null): Promise<Procedure | null> {
  if (hash === null) return null;
  const known = context.procedures.get(hash);
  if (known) return known;
  const row = await context.db.read(["procedures"], (tx) => tx.objectStore("procedures").get(hash));
  if (row) context.procedures.set(hash, row.procedure);
  return row?.procedure ?? null;
}

/** A question to the rules about the job's own events, walked with its own procedure. */
export async function askOfJob<T>(context: Context, jobId: string, name: string, args: { [key: string]: unknown }): Promise<T> {
  const [row, own] = await context.db.read(["jobs", "events"], (tx) => Promise.all([
    tx.objectStore("jobs").get(jobId), tx.objectStore("events").index("by_scope").getAll(IDBKeyRange.bound([jobId], [jobId, []])),
  ]));
  const procedure = await procedureOf(context, row?.procedure_hash ?? null);
  return context.engine.call<T>(name, { ...args, procedure_hash: procedure?.hash ?? null, events: own.map(({ event }) => event), ...advisedUpon(row?.facts) }, procedure);
}

/** For whoever has the phone: what they found unsafe is lifted by nobody else unread. */
async function step({ engine }: Context, { person_id }: JobRow, own: EventEnvelope[], procedure: Procedure | null, facts?: AddressFacts): Promise<{ record: Record_; advice: WalkAdvice | null; danger: Danger[] }> {
  if (!procedure) return { record: await engine.call<Record_>("fold_job", { events: own }), advice: null, danger: [] };
  const stepped = await engine.call<{ record: Record_; advice: WalkAdvice }>("step", { procedure_hash: procedure.hash, events: own, person_id, ...advisedUpon(facts) }, procedure);
  return { ...stepped, danger: dangerOf(procedure, stepped.record, stepped.advice) };
}

/** Newest first. Only what has news is asked of the rules: a summary costs them 20 ms on a slow phone, and there may be 40. */
async function histories(context: Context, { row, own, others }: Address): Promise<Pick<JobRow, "history" | "history_counts" | "history_events">> {
  const known = row.address_stamp?.startsWith(`${BUILD} `) ? new Map(row.history.map((entry) => [entry.job_id, entry])) : new Map<string | null, HistoryEntry>();
  const history: HistoryEntry[] = [];
  const history_counts: { [jobId: string]: number } = {};
  for (const [jobId, events] of earlierJobs(own, others)) {
    const before = row.history_counts?.[jobId] === events.length ? known.get(jobId) : undefined;
    history.push(before ?? (await askOfVisit(context)<HistoryEntry>(events, "history_entry")));
    history_counts[jobId] = events.length;
  }
  return { history, history_counts, history_events: [...others.values()].reduce((sum, events) => sum + events.length, 0) };
}

/** A question to the rules about another visit, with the procedure that it was walked with. */
function askOfVisit(context: Context): AskOfVisit {
  return async <T>(events: EventEnvelope[], name: string, more: object = {}) => {
    const opened = live(events).findLast((event) => event.kind === "job_opened");
    const procedure = await procedureOf(context, text(opened, "procedure_hash"));
    return context.engine.call<T>(name, { procedure_hash: procedure?.hash ?? null, events, ...more }, procedure);
  };
}

/** Jobs that began before this one, newest first. Across jobs only wall time can say, and it is only for display. */
function earlierJobs(own: EventEnvelope[], others: Map<string, EventEnvelope[]>): [string, EventEnvelope[]][] {
  const began = own.length > 0 ? firstWall(own) : "9999";
  return [...others].filter(([, events]) => firstWall(events) < began).sort(([a, left], [b, right]) => {
    const [earlier, later] = [firstWall(left), firstWall(right)];
    return earlier === later ? (a < b ? -1 : 1) : earlier < later ? 1 : -1;
  });
}

function firstWall(events: EventEnvelope[]): string {
  return events.reduce((first, { at_wall }) => (at_wall < first ? at_wall : first), "9999");
}

function lastWall(events: EventEnvelope[]): string {
  return events.reduce((last, { at_wall }) => (at_wall > last ? at_wall : last), "");
}
