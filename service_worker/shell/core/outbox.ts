/** What waits to be sent: counted for the queue line, and saved to a file when the network never comes. */
import type { QueueLine } from "../core_types";
import type { Context } from "./context";
import type { OutboxRow } from "./schema";
import { getSetting } from "./settings";

const decoder = new TextDecoder();

export async function queueLine(context: Context): Promise<QueueLine> {
  return context.db.read(["outbox", "photos", "settings"], async (tx) => {
    const byState = tx.objectStore("outbox").index("by_state");
    const waitingRange = stateRange("waiting");
    const [waiting, all, oldest, photos, photosRefused, sent] = await Promise.all([
      byState.count(waitingRange),
      tx.objectStore("outbox").count(),
      byState.get(waitingRange),
      tx.objectStore("photos").index("by_state").count("waiting"),
      tx.objectStore("photos").index("by_state").count("parked"),
      getSetting(tx, "sent_wall"),
    ]);
    const refused = all > waiting ? await byState.getAll(stateRange("parked")) : []; // nearly always none
    return { waiting, refused: refused.map(({ id }) => id), parked: all - waiting + photosRefused, waiting_since: oldest?.saved_wall ?? null, sent_at: sent, photos_waiting: photos, trouble: null };
  });
}

export function stateRange(state: OutboxRow["state"]): IDBKeyRange {
  return IDBKeyRange.bound([state], [state, []]);
}

/** The bytes as the text they were saved as. */
export function openText(row: OutboxRow): string {
  return decoder.decode(row.bytes);
}

/** The whole queue, parked rows and unsent photos too, as one JSON text that the office can read in. */
export async function queueFile(context: Context): Promise<{ name: string; json: string }> {
  const [rows, photos, device, person] = await context.db.read(["outbox", "photos", "settings"], async (tx) => [
    await tx.objectStore("outbox").getAll(),
    [
      ...(await tx.objectStore("photos").index("by_state").getAll("waiting")),
      ...(await tx.objectStore("photos").index("by_state").getAll("parked")),
    ],
    await getSetting(tx, "device_id"),
    await getSetting(tx, "person"),
  ] as const);
  const saved_wall = new Date(context.platform.now()).toISOString();
  const json = JSON.stringify({
    format: "undercroft-queue",
    version: 1,
    device_id: device,
    person,
    saved_wall,
    events: rows.filter(({ codec }) => codec === "plain").map((row) => JSON.parse(openText(row)) as unknown),
    states: rows.map(({ id, state, code, message }) => ({ id, state, code, message })),
    photos: photos.map(({ sha256, media_type, bytes }) => ({ sha256, media_type, base64: base64(bytes) })),
    log: await context.log.rows(),
  });
  return { name: `undercroft-queue-${saved_wall.slice(0, 16).replaceAll(":", "")}.json`, json };
}

function base64(bytes: ArrayBuffer): string {
  let binary = "";
  for (const byte of new Uint8Array(bytes)) binary += String.fromCharCode(byte);
  return btoa(binary);
}
