/** Sends photos whose event the server has. */
import { isObject } from "./checks";
import type { Context } from "./context";
import { request } from "./http";
import type { PhotoRow } from "./schema";
import { troubleOf } from "./trouble";

const LIMIT_MS = 60_000;

/** Throws SyncTrouble. A photo that the server refuses for good is parked, as an event would be. */
export async function pushPhotos(context: Context, token: string): Promise<void> {
  const keys = await context.db.read(["photos"], (tx) => tx.objectStore("photos").index("by_state").getAllKeys("waiting"));
  for (const sha256 of keys) {
    const photo = await readyPhoto(context, sha256);
    if (photo) await pushOne(context, token, photo);
  }
}

/** The photo, unless its event is still here: the server would only refuse the bytes. */
function readyPhoto({ db }: Context, sha256: string): Promise<PhotoRow | null> {
  return db.read(["photos", "outbox"], async (tx) => {
    const photo = await tx.objectStore("photos").get(sha256);
    const unsent = photo?.event_id ? await tx.objectStore("outbox").index("by_id").getKey(photo.event_id) : undefined;
    return photo && unsent === undefined ? photo : null;
  });
}

async function pushOne(context: Context, token: string, photo: PhotoRow): Promise<void> {
  const reply = await request(context.platform, `photos/${photo.sha256}`, {
    method: "PUT", token, body: photo.bytes, contentType: photo.media_type, limitMs: LIMIT_MS,
  });
  if (reply.kind === "json") {
    if (!isObject(reply.body) || reply.body["sha256"] !== photo.sha256) throw troubleOf({ kind: "captive" });
    return setState(context, photo, "sent");
  }
  if (reply.kind !== "error" || [401, 403, 429].includes(reply.status) || reply.status >= 500) throw troubleOf(reply);
  if (reply.code === "photo_not_named") return; // a server that was restored: its event comes first
  context.log.note("photo_parked", `${photo.sha256} ${reply.code}`);
  return setState(context, photo, "parked");
}

async function setState(context: Context, { sha256 }: PhotoRow, state: PhotoRow["state"]): Promise<void> {
  await context.db.write(["photos"], async (tx) => {
    const latest = await tx.objectStore("photos").get(sha256);
    if (latest) await tx.objectStore("photos").put({ ...latest, state });
  });
}
