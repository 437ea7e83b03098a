/** Sends the outbox. A row leaves it only on the word of our server about its own id. */
import { isPushResult, type PushResult } from "./answers";
import { isObject, wholeNumber } from "./checks";
import type { Context } from "./context";
import type { WriteTx } from "./db";
import { request, type Reply } from "./http";
import { uuid7 } from "./ids";
import { openText, stateRange } from "./outbox";
import type { LogRow, OutboxRow } from "./schema";
import { getSetting, putSettings } from "./settings";
import { SyncTrouble, expectJson, troubleOf } from "./trouble";

const BATCH_ROWS = 200;
const BATCH_BYTES = 1_000_000;

/** Sends all that waits, batch by batch. Throws SyncTrouble; what was acknowledged before that stays acknowledged. */
export async function pushAll(context: Context, token: string): Promise<void> {
  let limit = BATCH_ROWS;
  for (;;) {
    const rows = await nextBatch(context, limit);
    if (rows.length === 0) return;
    const batchId = uuid7(context.platform.now(), context.platform.randomBytes(10));
    const log = await context.log.rows();
    const reply = await post(context, token, batchId, rows, log);
    if (isRefusedBatch(reply)) {
      // One bad event must not stop the rest: halve until it stands alone, then park it.
      if (rows.length === 1) await settle(context, [{ id: rows[0]!.id, status: "rejected", code: reply.code, message: reply.message }]);
      limit = Math.max(1, Math.floor(rows.length / 2));
      continue;
    }
    const results = readResults(expectJson(reply), batchId, rows);
    await settle(context, results);
    limit = Math.min(BATCH_ROWS, limit * 2);
    if (results.length < rows.length) throw new SyncTrouble("server", "partial_answer");
    const lastLine = log.at(-1)?.n;
    if (lastLine !== undefined) await context.log.forget(lastLine);
  }
}

function isRefusedBatch(reply: Reply): reply is Extract<Reply, { kind: "error" }> {
  return reply.kind === "error" && (reply.status === 413 || reply.status === 422 || reply.status === 400);
}

function nextBatch(context: Context, limit: number): Promise<OutboxRow[]> {
  return context.db.read(["outbox"], async (tx) => {
    const rows = await tx.objectStore("outbox").index("by_state").getAll(stateRange("waiting"), limit);
    let bytes = 0;
    const plain = rows.filter(({ codec }) => codec === "plain"); // another codec is for a newer shell to send
    return plain.filter((row, i) => (bytes += row.bytes.byteLength) <= BATCH_BYTES || i === 0);
  });
}

async function post(context: Context, token: string, batchId: string, rows: OutboxRow[], log: LogRow[]): Promise<Reply> {
  const events = rows.map(openText).join(",");
  const lines = log.map(({ at_wall, code, words }) => ({ at_wall, code, words }));
  const body = (more: string): string => `{"batch_id":${JSON.stringify(batchId)},"events":[${events}]${more}}`;
  const ask = { method: "POST", token } as const;
  const first = await request(context.platform, "events", { ...ask, body: body(lines.length > 0 ? `,"log":${JSON.stringify(lines)}` : "") });
  // A server that does not know the log must still get the events.
  return lines.length > 0 && isRefusedBatch(first) ? request(context.platform, "events", { ...ask, body: body("") }) : first;
}

/** The results that are about this batch's own ids. Anything that does not echo the batch is not our server. */
function readResults(body: unknown, batchId: string, rows: OutboxRow[]): PushResult[] {
  if (!isObject(body) || body["batch_id"] !== batchId || !Array.isArray(body["results"])) throw troubleOf({ kind: "captive" });
  const sent = new Set(rows.map(({ id }) => id));
  return body["results"].filter(isPushResult).filter(({ id }) => sent.delete(id));
}

/** Takes the results in: what is stored leaves the queue, what is held or rejected stays, apart from what waits. */
async function settle(context: Context, results: PushResult[]): Promise<void> {
  const wall = new Date(context.platform.now()).toISOString();
  await context.db.write(["outbox", "events", "settings"], async (tx) => {
    const knownMs = context.platform.now() + ((await getSetting(tx, "clock_offset")) ?? 0);
    for (const result of results) await settleOne(tx, result, wholeNumber(knownMs) ?? 0);
    await putSettings(tx, { sent_wall: wall });
  });
  results.filter(({ status }) => status === "rejected").forEach(({ id, code }) => context.log.note("event_parked", `${id} ${code ?? ""}`));
}

async function settleOne(tx: WriteTx, { id, status, code, message }: PushResult, knownMs: number): Promise<void> {
  const [row, known] = await Promise.all([tx.objectStore("outbox").index("by_id").get(id), tx.objectStore("events").get(id)]);
  if (!row) return;
  const done = status === "stored" || status === "duplicate";
  // Another device's event, offered again after a restore: whatever the server says of it, this phone has done its part.
  if (done || known?.own === 0) await tx.objectStore("outbox").delete(row.n!);
  else await tx.objectStore("outbox").put({ ...row, state: status === "held" ? "held" : "parked", code: code ?? null, message: message ?? null });
  if (done && known && known.known_ms === null) await tx.objectStore("events").put({ ...known, known_ms: knownMs });
}
