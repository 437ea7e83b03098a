// Runs webapp/trade in the phone's engine under Node: one JSON question a line in, one JSON answer a line out.
// usage: node node_engine.mjs <folder of micropython.mjs> <webapp/trade>
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { pathToFileURL } from "node:url";

const [engineFolder, tradeFolder] = process.argv.slice(2);
const { loadMicroPython } = await import(pathToFileURL(join(engineFolder, "micropython.mjs")).href);
const engine = await loadMicroPython({
  url: join(engineFolder, "micropython.wasm"),
  heapsize: 8 * 1024 * 1024, // as on the phone
  pystack: 16 * 1024,
  stdout: (text) => process.stderr.write(text + "\n"),
  stderr: (text) => process.stderr.write(text + "\n"),
});

engine.FS.mkdirTree("/trade/webapp/trade");
engine.FS.writeFile("/trade/webapp/__init__.py", "");
for (const [from, to] of [[tradeFolder, "/trade/webapp/trade"], [join(tradeFolder, "phone_shims"), "/trade"]]) {
  for (const name of readdirSync(from).filter((one) => one.endsWith(".py") && one !== "__main__.py")) {
    engine.FS.writeFile(`${to}/${name}`, readFileSync(join(from, name)));
  }
}
engine.runPython('import gc, sys; gc.threshold(-1); sys.path.insert(0, "/trade")\nimport webapp.trade.phone');
const phone = engine.pyimport("webapp.trade.phone");

const LEFT_UNTIDIED = 100_000; // letters of questions and answers: a few steps' worth, far less than what the heap holds
let left = 0;

for await (const line of createInterface({ input: process.stdin })) {
  const { name, args } = JSON.parse(line);
  const started = performance.now();
  const text = phone.call(name, args);
  const ms = performance.now() - started;
  process.stdout.write(JSON.stringify({ text, ms }) + "\n");
  left += args.length + text.length;
  if (left > LEFT_UNTIDIED) {
    engine.runPython("import gc; gc.collect()");
    left = 0;
  }
}
