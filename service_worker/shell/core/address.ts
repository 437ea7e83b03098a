/** Everything that this phone knows of an address, and a cheap word on whether any of it is new. */
import { BUILD } from "../generated/shell_assets";
import type { ReadTx, WriteTx } from "./db";
import type { EventEnvelope, JobRow } from "./schema";

/** Everything at one address, apart by job. */
export interface Address {
  row: JobRow;
  own: EventEnvelope[];
  /** events that belong to the address itself */
  site: EventEnvelope[];
  others: Map<string, EventEnvelope[]>;
  /** when the server had an event, by its id; null while only this phone has it */
  knownMs: Map<string, number | null>;
}

type Tx = ReadTx | WriteTx;

export async function readAddress(tx: Tx, row: JobRow): Promise<Address> {
  const bySite = tx.objectStore("events").index("by_site");
  const rows = (await Promise.all((await sitesOf(tx, row)).map((site) => bySite.getAll(site)))).flat();
  const address: Address = { row, own: [], site: [], others: new Map(), knownMs: new Map(rows.map(({ id, known_ms }) => [id, known_ms])) };
  for (const { event } of rows) {
    if (event.job_id === row.job_id) address.own.push(event);
    else if (event.job_id === null) address.site.push(event);
    else if (!address.others.get(event.job_id)?.push(event)) address.others.set(event.job_id, [event]);
  }
  return address;
}

/**
 * Events are never changed, so as long as their number stands nothing is new. Counted, not read: an address of 40 visits has a
 * thousand of them, and every job on the phone asks after every round.
 */
export async function stampOf(tx: Tx, row: JobRow): Promise<string> {
  const bySite = tx.objectStore("events").index("by_site");
  const counts = await Promise.all((await sitesOf(tx, row)).map(async (site) => `${site}:${await bySite.count(site)}`));
  return [BUILD, row.procedure_hash, ...counts].join(" "); // another build may read the same events otherwise
}

async function sitesOf(tx: Tx, row: JobRow): Promise<string[]> {
  const streams = await tx.objectStore("streams").getAll();
  const joined = streams.filter(({ group_id }) => group_id === row.group_id).map(({ site_id }) => site_id);
  return [...new Set([row.site_id, ...joined])].sort();
}
