/** The shell's own error log: bounded, on the phone, and it travels with the queue. */
import type { Database } from "./db";
import type { Platform } from "./platform";
import type { LogRow } from "./schema";

const KEEP_ROWS = 200;
const WORDS_LENGTH = 300;

export class Log {
  constructor(private readonly db: Database, private readonly platform: Platform) {}

  /** Never fails and is never waited for: a log that breaks the work is worse than none. */
  note(code: string, words: string): void {
    const row: LogRow = { at_wall: new Date(this.platform.now()).toISOString(), code, words: words.slice(0, WORDS_LENGTH) };
    void this.add(row).catch(() => undefined);
  }

  error(code: string, error: unknown): void {
    this.note(code, error instanceof Error ? `${error.name}: ${error.message}` : String(error));
  }

  rows(): Promise<LogRow[]> {
    return this.db.read(["log"], (tx) => tx.objectStore("log").getAll());
  }

  /** Forgets what the server has taken. */
  forget(upTo: number): Promise<void> {
    return this.db.write(["log"], (tx) => tx.objectStore("log").delete(IDBKeyRange.upperBound(upTo)));
  }

  private add(row: LogRow): Promise<void> {
    return this.db.write(["log"], async (tx) => {
      const last = await tx.objectStore("log").add(row);
      await tx.objectStore("log").delete(IDBKeyRange.upperBound(last - KEEP_ROWS));
    });
  }
}

/** What nobody waits for: its trouble is noted, and stops nothing. */
export function aside({ log }: { log: Log }, work: Promise<unknown>, code: string): void {
  work.catch((error: unknown) => log.error(code, error));
}
