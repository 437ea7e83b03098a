/** What stands in the way of the queue, as one exception that carries what the queue line says. */
import type { QueueLine } from "../core_types";
import type { Reply } from "./http";

export class SyncTrouble extends Error {
  constructor(readonly trouble: NonNullable<QueueLine["trouble"]>, readonly code: string, readonly retryAfterMs = 0) {
    super(code);
    this.name = "SyncTrouble";
  }
}

/** The answer's JSON, or the trouble that it means. */
export function expectJson(reply: Reply): unknown {
  if (reply.kind === "json") return reply.body;
  throw troubleOf(reply);
}

export function troubleOf(reply: Reply): SyncTrouble {
  if (reply.kind === "offline") return new SyncTrouble("offline", "offline");
  if (reply.kind !== "error") return new SyncTrouble("captive", "captive");
  const { status, code, retryAfterMs } = reply;
  if (status === 401) return new SyncTrouble("signed_out", code);
  if (status === 403) return new SyncTrouble("revoked", code);
  return new SyncTrouble("server", code, retryAfterMs);
}
