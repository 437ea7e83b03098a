/** What this phone keeps for its owner between jobs: the instruments in the bag, and clocks that run. Never sent as such. */
import type { OwnThings } from "../core_types";
import type { Database } from "./db";

export const NOTHING_OWN: OwnThings = { instruments: [], timers: [] };
const KEY = "own";

export async function loadOwn(db: Database): Promise<OwnThings> {
  const stored = await db.read(["kept"], (tx) => tx.objectStore("kept").get(KEY));
  return { ...NOTHING_OWN, ...(stored as Partial<OwnThings> | undefined) };
}

export function keepOwn(db: Database, things: Partial<OwnThings>): Promise<OwnThings> {
  return db.write(["kept"], async (tx) => {
    const next = { ...NOTHING_OWN, ...((await tx.objectStore("kept").get(KEY)) as Partial<OwnThings> | undefined), ...things };
    await tx.objectStore("kept").put(next, KEY);
    return next;
  });
}
