/** One round with the server: send, send photos, pull; again if the pull brought something to send. */
import type { QueueLine } from "../core_types";
import { pullCompany } from "./company";
import type { Context } from "./context";
import type { Outcome } from "./drain";
import { pushPhotos } from "./photos";
import { pullAll } from "./pull";
import { pushAll } from "./push";
import { stateRange } from "./outbox";
import { getSetting, putSettings } from "./settings";
import { SyncTrouble } from "./trouble";

const ROUNDS = 3;

export interface Round extends Outcome {
  trouble: QueueLine["trouble"];
}

/** Trouble on the way is part of the answer; a fault of our own is thrown. */
export async function syncRound(context: Context): Promise<Round> {
  const { db } = context;
  const [token, paused, person] = await db.read(["settings"], async (tx) => [
    await getSetting(tx, "token"), await getSetting(tx, "paused"), await getSetting(tx, "person"),
  ] as const);
  if (!token || paused === "signed_out") return { failed: false, retryAfterMs: 0, trouble: person ? "signed_out" : null };
  try {
    for (let round = 0; round < ROUNDS; round++) {
      const sending = await send(context, token);
      if (paused === "revoked") return { failed: false, retryAfterMs: 0, trouble: "revoked" };
      await pullAll(context, token);
      if (round === 0) await pullCompany(context, token);
      if (sending) throw sending;
      if ((await waiting(context)) === 0) break;
    }
    return { failed: false, retryAfterMs: 0, trouble: null };
  } catch (error) {
    if (error instanceof SyncTrouble) return failure(context, error, token);
    throw error;
  }
}

/** A server that cannot take the queue may still have jobs to give: only then is the trouble returned, not thrown. */
async function send(context: Context, token: string): Promise<SyncTrouble | null> {
  try {
    await pushAll(context, token);
    await pushPhotos(context, token);
    return null;
  } catch (error) {
    if (error instanceof SyncTrouble && error.trouble === "server") return error;
    throw error;
  }
}

function waiting({ db }: Context): Promise<number> {
  return db.read(["outbox"], (tx) => tx.objectStore("outbox").index("by_state").count(stateRange("waiting")));
}

async function failure({ db, log }: Context, { trouble, code, retryAfterMs }: SyncTrouble, token: string): Promise<Round> {
  const isTheirs = await db.write(["settings"], async (tx) => {
    if ((await getSetting(tx, "token")) !== token) return true; // somebody signed in meanwhile: the refusal was not about them
    if (trouble === "signed_out" || trouble === "revoked") await putSettings(tx, { paused: trouble });
    return false;
  });
  if (isTheirs) return { failed: true, retryAfterMs: 0, trouble: null };
  if (trouble !== "offline") log.note("sync_trouble", `${trouble} ${code}`);
  return { failed: true, retryAfterMs, trouble };
}
