/** Puts `webapp/trade/` into a MicroPython engine and hands out its one function. The same in the worker and in Node. */

/** What MicroPython's own module gives. It ships no types. */
export interface MicroPython {
  FS: { mkdirTree(path: string): void; writeFile(path: string, bytes: Uint8Array): void };
  _module: { HEAPU8: Uint8Array };
  pyimport(name: string): { [name: string]: (...args: string[]) => string };
  runPython(code: string): unknown;
}

export type LoadMicroPython = (options: { url: string; heapsize?: number; pystack?: number }) => Promise<MicroPython>;

export interface TradeModule {
  path: string;
  bytes: Uint8Array;
}

export interface Trade {
  call(name: string, args: string): string;
  heapBytes(): number;
  /** Between calls: nothing is collected inside one. */
  tidy(): void;
}

const HOME = "/trade";

export function startTrade(engine: MicroPython, modules: TradeModule[]): Trade {
  for (const { path, bytes } of modules) {
    const target = `${HOME}/${path}`;
    engine.FS.mkdirTree(target.slice(0, target.lastIndexOf("/")));
    engine.FS.writeFile(target, bytes);
  }
  // First on the path: the shims stand in for modules of the same name that the engine does not have.
  engine.runPython(`import sys; sys.path.insert(0, "${HOME}")\nimport webapp.trade.phone`);
  const phone = engine.pyimport("webapp.trade.phone");
  const call = phone["call"];
  if (!call) throw new Error("webapp.trade.phone has no call()");
  return {
    call,
    heapBytes: () => engine._module.HEAPU8.byteLength,
    tidy: () => void engine.runPython("import gc; gc.collect()"),
  };
}
