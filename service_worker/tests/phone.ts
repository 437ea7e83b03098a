/** A phone for the tests: its own store, a clock and chance that the test decides, timers that fire when told. */
import "fake-indexeddb/auto";
import { openDB } from "idb";
import { createCore, type PhoneCore } from "../shell/core/index";
import type { EngineAnswer, EnginePort, EngineQuestion } from "../shell/core/engine";
import type { Platform } from "../shell/core/platform";
import type { CoreSchema, StoreName } from "../shell/core/schema";
import type { FakeServer } from "./fake_server";

let phones = 0;

export class Phone {
  nowMs = Date.parse("2026-11-25T08:00:00Z");
  readonly name = `phone-${++phones}`;
  core: PhoneCore;
  fetch: Platform["fetch"];
  /** whether a sync may run: the simulator decides when, so that a seed always does the same */
  online = true;
  /** the browser refuses the lock, as on a page on its way out */
  lockFails = false;
  timers: { run: () => void; delayMs: number }[] = [];
  engines = 0;
  /** the engine that runs now: a test may let an answer come late */
  port: EnginePort | null = null;
  /** what the engine does with a question; null: it hangs */
  engine: (question: EngineQuestion) => EngineAnswer | null = foldByIds;
  private readonly chance: () => number;

  constructor(server: FakeServer | Platform["fetch"], seed = 1) {
    this.fetch = typeof server === "function" ? server : server.fetch;
    this.chance = mulberry32(seed);
    this.core = createCore({ platform: this.platform(), openEngine: () => this.openEngine() });
  }

  /** The process dies and starts again on the same store. */
  async restart(databaseVersion?: number): Promise<void> {
    this.kill();
    this.core = createCore({ platform: this.platform(), openEngine: () => this.openEngine(), ...(databaseVersion ? { databaseVersion } : {}) });
    await this.core.start();
  }

  kill(): void {
    this.core.stop();
    this.timers = [];
  }

  /** Fires the timers that would be due after `ms`. */
  fire(ms: number): void {
    const due = this.timers.filter(({ delayMs }) => delayMs <= ms);
    this.timers = this.timers.filter(({ delayMs }) => delayMs > ms);
    due.forEach(({ run }) => run());
  }

  async rows<S extends StoreName>(store: S): Promise<CoreSchema[S]["value"][]> {
    const db = await openDB<CoreSchema>(this.name);
    const rows = await db.getAll(store);
    db.close();
    return rows;
  }

  async setting(key: string): Promise<unknown> {
    const db = await openDB<CoreSchema>(this.name);
    const value = await db.get("settings", key);
    db.close();
    return value;
  }

  private platform(): Platform {
    return {
      fetch: (url, init) => this.fetch(url, init),
      now: () => this.nowMs,
      randomBytes: (count) => Uint8Array.from({ length: count }, () => Math.floor(this.chance() * 256)),
      random: () => this.chance(),
      later: (run, delayMs) => {
        const timer = { run, delayMs };
        this.timers.push(timer);
        return () => void (this.timers = this.timers.filter((other) => other !== timer));
      },
      alone: async (_name, work) => {
        if (this.lockFails) throw new DOMException("not fully active", "InvalidStateError");
        if (this.online) await work();
        return this.online;
      },
      apiRoot: "/api/v1/",
      databaseName: this.name,
      mark: () => undefined,
      onHope: () => () => undefined,
      windows: { tell: () => undefined, listen: () => () => undefined },
    };
  }

  private openEngine(): EnginePort {
    this.engines += 1;
    const port: EnginePort = {
      onmessage: null,
      onerror: null,
      terminate: () => undefined,
      postMessage: (question) => {
        const answer = this.engine(question);
        if (answer) queueMicrotask(() => port.onmessage?.({ data: answer } as MessageEvent<EngineAnswer>));
      },
    };
    this.port = port;
    return port;
  }
}

/** Stands in for the rules: which events the record was made from, and nothing else. The real ones are tested with the real engine. */
export function foldByIds({ id, name, args }: EngineQuestion): EngineAnswer {
  const { events = [] } = JSON.parse(args) as { events?: { id: string; job_id?: string | null }[] };
  const record = { job_id: events[0]?.job_id ?? null, ids: events.map((event) => event.id).sort() };
  const ok = name === "step" ? { record, advice: { next: null } } : name === "found_unsafe" ? [] : record;
  return { id, text: JSON.stringify({ ok }), heap_bytes: 1_000_000 };
}

/** A small seeded generator (mulberry32, public domain, from memory): good enough to pick faults. */
export function mulberry32(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** A phone that is signed in and has pulled all. */
export async function readyPhone(server: FakeServer, seed = 1): Promise<Phone> {
  const phone = new Phone(server, seed);
  await phone.core.start();
  await phone.core.enrol("123456");
  await phone.core.syncNow();
  return phone;
}
