/** Runs in the Web Worker: MicroPython with the rules of the trade, one text in, one text out. */
import { MICROPYTHON_MJS_URL, MICROPYTHON_WASM_URL, TRADE_MODULES } from "../generated/engine_assets";
import type { EngineAnswer, EngineQuestion } from "./engine";
import { startTrade, type LoadMicroPython, type Trade } from "./trade_modules";

const HEAP_BYTES = 8 * 1024 * 1024;
const PYSTACK_WORDS = 16 * 1024;

let starting: Promise<Trade> | null = null;
let heap_bytes = 0;

async function start(): Promise<Trade> {
  const [{ loadMicroPython }, modules] = await Promise.all([
    import(MICROPYTHON_MJS_URL) as Promise<{ loadMicroPython: LoadMicroPython }>,
    Promise.all(TRADE_MODULES.map(async ({ path, url }) => ({ path, bytes: await fetchBytes(url) }))),
  ]);
  return startTrade(await loadMicroPython({ url: MICROPYTHON_WASM_URL, heapsize: HEAP_BYTES, pystack: PYSTACK_WORDS }), modules);
}

async function fetchBytes(url: string): Promise<Uint8Array> {
  const response = await fetch(url);
  if (!response.ok) throw new Error(`${url}: ${response.status}`);
  return new Uint8Array(await response.arrayBuffer());
}

async function answer({ id, name, args }: EngineQuestion): Promise<EngineAnswer> {
  try {
    const trade = await (starting ??= start());
    return { id, text: trade.call(name, args), heap_bytes };
  } catch (error) {
    return { id, failed: error instanceof Error ? error.message : String(error) };
  }
}

self.onmessage = async ({ data }: MessageEvent<EngineQuestion>) => {
  self.postMessage(await answer(data));
  const trade = await starting?.catch(() => null);
  if (trade) heap_bytes = trade.tidy();
};
