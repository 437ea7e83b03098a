/** Opens the phone's database and runs transactions in it: strict, reopened once when the connection was lost. */
import { openDB, type IDBPDatabase, type IDBPTransaction } from "idb";
import { CoreError } from "../core_types";
import { DATABASE_VERSION, upgrade, type CoreSchema, type StoreName } from "./schema";

export type ReadTx = IDBPTransaction<CoreSchema, StoreName[], "readonly">;
export type WriteTx = IDBPTransaction<CoreSchema, StoreName[], "readwrite">;

const BLOCKED_WORDS = "Another Undercroft window is holding the old store. What is saved is safe. Close the other window, then open this one again.";

export class Database {
  private opening: Promise<IDBPDatabase<CoreSchema>> | null = null;

  constructor(
    private readonly name: string,
    private readonly onBlocked: (blocked: boolean) => void,
    private readonly version: number = DATABASE_VERSION,
  ) {}

  async read<T>(stores: StoreName[], work: (tx: ReadTx) => Promise<T>): Promise<T> {
    return this.withReopen(async (db) => {
      const tx = db.transaction(stores, "readonly");
      tx.done.catch(() => undefined); // what was read is read: nobody waits for the end of it
      return work(tx);
    });
  }

  /**
   * Resolves on `complete`, on the disk. `work` may be run twice (lost connection), so it makes no ids and awaits nothing
   * but this transaction: IndexedDB commits by itself as soon as it is left idle.
   */
  async write<T>(stores: StoreName[], work: (tx: WriteTx) => Promise<T>): Promise<T> {
    return this.run(stores, "strict", work);
  }

  /** For what can be made again from the events, or was never called saved: it need not wait for the disk. */
  async writeDerived<T>(stores: StoreName[], work: (tx: WriteTx) => Promise<T>): Promise<T> {
    return this.run(stores, "relaxed", work);
  }

  private async run<T>(stores: StoreName[], durability: "strict" | "relaxed", work: (tx: WriteTx) => Promise<T>): Promise<T> {
    return this.withReopen(async (db) => {
      const tx = db.transaction(stores, "readwrite", { durability });
      try {
        return await finish(tx.done, work(tx));
      } catch (error) {
        abortQuietly(tx);
        throw tx.error ?? error;
      }
    });
  }

  async setting<T>(key: string): Promise<T | undefined> {
    return this.read(["settings"], async (tx) => (await tx.objectStore("settings").get(key)) as T | undefined);
  }

  close(): void {
    void this.opening?.then((db) => db.close()).catch(() => undefined);
    this.opening = null;
  }

  private async withReopen<T>(run: (db: IDBPDatabase<CoreSchema>) => Promise<T>): Promise<T> {
    try {
      return await run(await this.open());
    } catch (error) {
      if (!isLostConnection(error)) throw error;
      this.opening = null; // iOS drops connections of a shell that slept: once more, then it is a real fault
      return run(await this.open());
    }
  }

  private open(): Promise<IDBPDatabase<CoreSchema>> {
    this.opening ??= this.openNow(this.version).catch((error: unknown) => {
      this.opening = null;
      throw error;
    });
    return this.opening;
  }

  private openNow(version: number | undefined): Promise<IDBPDatabase<CoreSchema>> {
    return new Promise((resolve, reject) => {
      const forget = (): void => {
        this.opening = null;
      };
      openDB<CoreSchema>(this.name, version, {
        upgrade,
        blocked: () => {
          this.onBlocked(true);
          reject(new CoreError("update_blocked", BLOCKED_WORDS));
        },
        blocking: (_current, _blocked, event) => {
          forget();
          (event.target as IDBDatabase).close(); // a newer shell waits to upgrade: make room, reopen when next needed
        },
        terminated: forget,
      }).then((db) => {
        this.opening = Promise.resolve(db); // also when it comes late, after `blocked`
        this.onBlocked(false);
        resolve(db);
      }, (error: unknown) => {
        // An older shell on a newer database: changes only add, so it works on what is there.
        if (version !== undefined && error instanceof Error && error.name === "VersionError") resolve(this.openNow(undefined));
        else reject(error);
      });
    });
  }
}

/** Waits for both: the work's result and the transaction's `complete`. */
async function finish<T>(done: Promise<void>, work: Promise<T>): Promise<T> {
  const [result] = await Promise.all([work, done]);
  return result;
}

function abortQuietly(tx: WriteTx): void {
  try {
    tx.abort();
  } catch {
    // it had ended by itself
  }
}

function isLostConnection(error: unknown): boolean {
  return error instanceof Error && (error.name === "InvalidStateError" || /connection.*(lost|clos)/i.test(error.message));
}

/** The disk is full: by name, on every engine that we know. */
export function isQuota(error: unknown): boolean {
  return error instanceof Error && error.name === "QuotaExceededError";
}
