/** Puts `webapp/trade/` into a MicroPython engine and hands out its one function. The same in the worker and in Node. */

/** What MicroPython's own module gives. It ships no types. */
export interface MicroPython {
  FS: { mkdirTree(path: string): void; writeFile(path: string, bytes: Uint8Array): void };
  pyimport(name: "gc"): { mem_alloc(): number; collect(): void };
  pyimport(name: string): { call?: (name: string, args: string) => string };
  runPython(code: string): unknown;
}

export type LoadMicroPython = (options: { url: string; heapsize?: number; pystack?: number }) => Promise<MicroPython>;

export interface TradeModule {
  path: string;
  bytes: Uint8Array;
}

export interface Trade {
  call(name: string, args: string): string;
  /** Between calls, for whoever has the answer already: what the call has left behind in bytes, garbage too, before it is collected. */
  tidy(): number;
}

const HOME = "/trade";

export function startTrade(engine: MicroPython, modules: TradeModule[]): Trade {
  for (const { path, bytes } of modules) {
    const target = `${HOME}/${path}`;
    engine.FS.mkdirTree(target.slice(0, target.lastIndexOf("/")));
    engine.FS.writeFile(target, bytes);
  }
  // The engine would collect at the end of every call, before its answer is out. First on the path: the shims stand in for
  // modules of the same name that the engine does not have.
  engine.runPython(`import gc, sys; gc.threshold(-1); sys.path.insert(0, "${HOME}")\nimport webapp.trade.phone`);
  const { call } = engine.pyimport("webapp.trade.phone");
  const gc = engine.pyimport("gc");
  if (!call) throw new Error("webapp.trade.phone has no call()");
  return {
    call,
    tidy() {
      const leftBytes = gc.mem_alloc();
      gc.collect();
      return leftBytes;
    },
  };
}
