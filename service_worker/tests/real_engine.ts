/** The engine that phones use, on the same WebAssembly, in this process. */
import { readFileSync } from "node:fs";
import type { EngineAnswer, EngineQuestion } from "../shell/core/engine";
import { startTrade, type LoadMicroPython } from "../shell/core/trade_modules";

export interface EngineFiles {
  mjs: string;
  wasm: string;
  modules: { path: string; file: string }[];
}

export async function realEngine({ mjs, wasm, modules }: EngineFiles): Promise<(question: EngineQuestion) => EngineAnswer> {
  const { loadMicroPython } = (await import(mjs)) as { loadMicroPython: LoadMicroPython };
  const engine = await loadMicroPython({ url: wasm, heapsize: 8 * 1024 * 1024, pystack: 16 * 1024 });
  const trade = startTrade(engine, modules.map(({ path, file }) => ({ path, bytes: new Uint8Array(readFileSync(file)) })));
  return ({ id, name, args }) => {
    const text = trade.call(name, args);
    return { id, text, heap_bytes: trade.tidy() };
  };
}
