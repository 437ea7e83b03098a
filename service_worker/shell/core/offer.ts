/** Puts events into the outbox again: after a restore of the server, after signing in anew, after an update of the shell. */
import type { WriteTx } from "./db";
import { encode } from "./events";
import type { EventRow, OutboxRow } from "./schema";

export const KEEP_MS = 30 * 24 * 3_600_000;

/** Offers again every event that the server took in the last 30 days: own and pulled, of one address or of all. */
export async function offerKnownAgain(tx: WriteTx, nowMs: number, wall: string, siteId?: string): Promise<void> {
  const store = tx.objectStore("events");
  const rows = siteId === undefined ? await store.getAll() : await store.index("by_site").getAll(siteId);
  const recent = rows.filter((row) => row.known_ms !== null && row.known_ms >= nowMs - KEEP_MS);
  await Promise.all(recent.map((row) => offer(tx, row, wall)));
}

async function offer(tx: WriteTx, { id, event }: EventRow, wall: string): Promise<void> {
  if (await tx.objectStore("outbox").index("by_id").getKey(id)) return;
  await tx.objectStore("outbox").add({
    id, job_id: event.job_id, codec: "plain", bytes: encode(event), state: "waiting", code: null, message: null, saved_wall: wall,
  });
}

/** Another server, another person or another shell may take what was refused. */
export async function offerRefusedAgain(tx: WriteTx, states: OutboxRow["state"][]): Promise<void> {
  const store = tx.objectStore("outbox");
  const rows = (await store.getAll()).filter(({ state }) => states.includes(state));
  await Promise.all(rows.map((row) => store.put({ ...row, state: "waiting" as const, code: null, message: null })));
}

/** A photo that the server refused stays here: another shell or another server may get it through. */
export async function offerRefusedPhotosAgain(tx: WriteTx): Promise<void> {
  const store = tx.objectStore("photos");
  const photos = await store.index("by_state").getAll("parked");
  await Promise.all(photos.map((photo) => store.put({ ...photo, state: "waiting" as const })));
}
