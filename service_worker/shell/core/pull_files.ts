/** Brings down what never changes: procedures by hash, photos of the visible addresses. */
import type { Procedure } from "../core_types";
import { isObject } from "./checks";
import type { Context } from "./context";
import { isQuota } from "./db";
import { request } from "./http";
import type { Manifest } from "./settings";
import { expectJson, troubleOf } from "./trouble";

const PHOTO_LIMIT_MS = 60_000;

export async function pullProcedures(context: Context, token: string, manifest: Manifest): Promise<void> {
  const here = new Set(await context.db.read(["procedures"], (tx) => tx.objectStore("procedures").getAllKeys()));
  for (const hash of manifest.procedures.filter((wanted) => !here.has(wanted))) {
    const procedure = expectJson(await request(context.platform, `procedures/${hash}`, { token }));
    if (!isObject(procedure) || procedure["hash"] !== hash) throw troubleOf({ kind: "captive" });
    const row = { hash, name: String(procedure["name"]), procedure: procedure as unknown as Procedure };
    await context.db.write(["procedures"], (tx) => tx.objectStore("procedures").put(row));
  }
}

/** Photos are the last to come and the first to do without: one that fails does not stop the rest. */
export async function pullPhotos(context: Context, token: string, manifest: Manifest): Promise<void> {
  const here = new Set(await context.db.read(["photos"], (tx) => tx.objectStore("photos").getAllKeys()));
  for (const sha256 of manifest.photos.filter((wanted) => !here.has(wanted))) {
    const reply = await request(context.platform, `photos/${sha256}`, { token, wants: "image/", limitMs: PHOTO_LIMIT_MS });
    if (reply.kind === "error" && reply.status === 404) continue;
    if (reply.kind !== "bytes") throw troubleOf(reply);
    if ((await sha256Of(reply.bytes)) !== sha256) {
      context.log.note("photo_wrong_bytes", sha256);
      continue;
    }
    const row = { sha256, bytes: reply.bytes, media_type: reply.mediaType, state: "pulled" as const, event_id: null, kept_ms: context.platform.now() };
    try {
      await context.db.write(["photos"], (tx) => tx.objectStore("photos").put(row));
    } catch (error) {
      if (!isQuota(error)) throw error;
      context.log.note("photo_not_kept", sha256); // room is for what is written here, not for what can be fetched again
      return;
    }
  }
}

export async function sha256Of(bytes: ArrayBuffer): Promise<string> {
  const digest = await crypto.subtle.digest("SHA-256", bytes);
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("");
}
