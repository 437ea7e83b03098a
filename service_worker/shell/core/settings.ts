/** The small things the phone remembers, by name and type. */
import type { components } from "../generated/api";
import type { Database, ReadTx, WriteTx } from "./db";
import { uuid7 } from "./ids";
import type { Platform } from "./platform";

type Answers = components["schemas"];
export type Person = Answers["PersonOut"];
export type Manifest = Answers["ManifestOut"];
export type ManifestStream = Answers["StreamOut"];
export type ManifestJob = Answers["JobOut"];

export interface Settings {
  device_id: string;
  dev_seq: number;
  token: string | null;
  person: Person | null;
  paused: "signed_out" | "revoked" | null;
  clock_offset: number | null;
  epoch: string | null;
  etag: string | null;
  manifest: Manifest | null;
  /** every stream, procedure and photo of the manifest is here */
  pulled_all: boolean;
  sent_wall: string | null;
  /** the shell build whose engine has answered once on this phone */
  engine_build: string | null;
  persist_asked: boolean;
  /** the shell build that last ran on this store */
  build: string | null;
}

const FIRST: Omit<Settings, "device_id"> = {
  dev_seq: 0,
  token: null,
  person: null,
  paused: null,
  clock_offset: null,
  epoch: null,
  etag: null,
  manifest: null,
  pulled_all: false,
  sent_wall: null,
  engine_build: null,
  persist_asked: false,
  build: null,
};

type Tx = ReadTx | WriteTx;

/** One setting, inside a transaction that covers `settings`. */
export async function getSetting<K extends keyof Settings>(tx: Tx, key: K): Promise<Settings[K]> {
  const stored = (await tx.objectStore("settings").get(key)) as Settings[K] | undefined;
  return stored ?? ({ ...FIRST, device_id: "" } satisfies Settings)[key];
}

export async function putSettings(tx: WriteTx, values: Partial<Settings>): Promise<void> {
  const store = tx.objectStore("settings");
  await Promise.all(Object.entries(values).map(([key, value]) => store.put(value, key)));
}

export function saveSettings(db: Database, values: Partial<Settings>): Promise<void> {
  return db.write(["settings"], (tx) => putSettings(tx, values));
}

/** All settings. A new database is a new device: its counters start at one, so its name must be new too. */
export async function loadSettings(db: Database, platform: Platform): Promise<Settings> {
  const stored = await db.read(["settings"], storedSettings); // a start need not wait for the disk to write nothing
  if (stored.device_id) return { ...FIRST, device_id: stored.device_id, ...stored };
  const freshId = uuid7(platform.now(), platform.randomBytes(10));
  return db.write(["settings"], async (tx) => {
    const now = await storedSettings(tx); // another window may have been first
    if (!now.device_id) await tx.objectStore("settings").put(freshId, "device_id");
    return { ...FIRST, device_id: freshId, ...now };
  });
}

async function storedSettings(tx: Tx): Promise<Partial<Settings>> {
  const store = tx.objectStore("settings");
  const [keys, values] = await Promise.all([store.getAllKeys(), store.getAll()]);
  return Object.fromEntries(keys.map((key, i) => [key, values[i]])) as Partial<Settings>;
}
