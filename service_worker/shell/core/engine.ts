/** The bridge to the rules of the trade: one worker, one call at a time, and a watchdog over both. */
import { CoreError } from "../core_types";
import type { Procedure } from "../core_types";
import type { Platform } from "./platform";

export interface EngineQuestion {
  id: number;
  name: string;
  args: string;
}

/** What the worker says. After the call before this one the engine's memory was at least `heap_bytes`; it never shrinks. */
export type EngineAnswer =
  | { id: number; text: string; heap_bytes: number }
  | { id: number; failed: string };

/** The part of a Worker that the bridge uses. */
export interface EnginePort {
  postMessage(message: EngineQuestion): void;
  terminate(): void;
  onmessage: ((message: MessageEvent<EngineAnswer>) => void) | null;
  onerror: ((error: ErrorEvent) => void) | null;
}

const CALL_LIMIT_MS = 4_000;
const FIRST_CALL_LIMIT_MS = 15_000; // the engine starts within it, on a slow phone, from a cold cache
const ONCE_MORE = new Set(["engine_lost", "procedure_not_loaded"]);
const HEAP_LIMIT_BYTES = 64 * 1024 * 1024;

export class Engine {
  private port: EnginePort | null = null;
  private warm = false;
  private lastId = 0;
  private loaded = new Set<string>();
  private turn: Promise<unknown> = Promise.resolve();

  constructor(
    private readonly openPort: () => EnginePort,
    private readonly later: Platform["later"],
    private readonly onTrouble: (code: string, words: string) => void,
  ) {}

  /** Calls a function of `trade/`; a hang or a crash costs one restart and one more try. */
  call<T>(name: string, args: unknown, procedure?: Procedure | null): Promise<T> {
    const run = (): Promise<T> => this.callTwice<T>(name, args, procedure ?? null);
    const mine = this.turn.then(run, run);
    this.turn = mine.catch(() => undefined);
    return mine;
  }

  stop(): void {
    this.port?.terminate();
    this.port = null;
    this.warm = false;
    this.loaded.clear();
  }

  private async callTwice<T>(name: string, args: unknown, procedure: Procedure | null): Promise<T> {
    try {
      return await this.callWithProcedure<T>(name, args, procedure);
    } catch (error) {
      if (!(error instanceof CoreError) || !ONCE_MORE.has(error.code)) throw error;
      this.loaded.clear();
      this.onTrouble(error.code, `${name}: ${error.message}`);
      return this.callWithProcedure<T>(name, args, procedure);
    }
  }

  private async callWithProcedure<T>(name: string, args: unknown, procedure: Procedure | null): Promise<T> {
    if (procedure && !this.loaded.has(procedure.hash)) {
      await this.send("load_procedure", { procedure });
      this.loaded.add(procedure.hash);
    }
    return (await this.send(name, args)) as T;
  }

  private async send(name: string, args: unknown): Promise<unknown> {
    const answer = await this.exchange(name, JSON.stringify(args));
    if ("failed" in answer) {
      this.stop();
      throw new CoreError("engine_lost", answer.failed);
    }
    if (answer.heap_bytes > HEAP_LIMIT_BYTES) {
      this.onTrouble("engine_grew", `${name}: ${answer.heap_bytes} bytes`);
      this.stop();
    }
    return unwrap(answer.text);
  }

  private exchange(name: string, args: string): Promise<EngineAnswer> {
    const port = (this.port ??= this.openPort());
    const id = ++this.lastId;
    return new Promise((resolve) => {
      const limitMs = this.warm ? CALL_LIMIT_MS : FIRST_CALL_LIMIT_MS;
      const cancel = this.later(() => resolve({ id, failed: `no answer within ${limitMs} ms` }), limitMs);
      const settle = (answer: EngineAnswer): void => {
        cancel();
        resolve(answer);
      };
      port.onmessage = ({ data }) => {
        if (data.id !== id) return;
        this.warm = true;
        settle(data);
      };
      port.onerror = (error) => settle({ id, failed: error.message || "the worker did not load" });
      port.postMessage({ id, name, args });
    });
  }
}

interface BridgeAnswer {
  ok?: unknown;
  error?: { code: string; message: string };
}

function unwrap(text: string): unknown {
  const answer = JSON.parse(text) as BridgeAnswer;
  if (answer.error) throw new CoreError(answer.error.code, answer.error.message);
  return answer.ok;
}
