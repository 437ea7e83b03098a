/** A newer shell begins by the technician's word, also when the browser forgets to let it. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { installed, shellIsCached, watchShell } from "../shell/core/shell_state";

const put = (name: string, value: unknown): void => void Object.defineProperty(globalThis, name, { value, configurable: true, writable: true });

/** One page of a browser whose worker takes over, or never does; its own patience is made short. */
async function page(session: Map<string, string>, takesOver: boolean, says = true): Promise<{ reloads: number; takeOver: () => void; end: () => void }> {
  const seen = { reloads: 0, takeOver: () => undefined as void, end: () => undefined as void };
  const waiting = { postMessage: () => (takesOver ? seen.takeOver() : undefined) };
  const container = {
    controller: {},
    addEventListener: (_name: string, heard: () => void) => (seen.takeOver = heard),
    register: () => Promise.resolve({ waiting, addEventListener: () => undefined }),
  };
  const realTimeout = globalThis.setTimeout;
  const timers: (() => void)[] = [];
  put("navigator", { serviceWorker: container });
  put("location", { reload: () => seen.reloads++ });
  put("sessionStorage", {
    getItem: (key: string) => session.get(key) ?? null,
    setItem: (key: string, value: string) => session.set(key, value),
    removeItem: (key: string) => session.delete(key),
  });
  put("setTimeout", (run: () => void) => timers.push(run));
  const watch = watchShell(() => says && watch.apply(), () => undefined, (error) => assert.equal(error, null));
  await Promise.resolve();
  await Promise.resolve();
  put("setTimeout", realTimeout);
  seen.end = () => timers.forEach((run) => run());
  return seen;
}

test("the page is made anew when the new shell takes over, once", async () => {
  const first = await page(new Map(), true);
  assert.equal(first.reloads, 1);
});

test("a new shell that stays waiting after the word is freed by a fresh page, which follows it too", async () => {
  const session = new Map<string, string>();
  const first = await page(session, false);
  assert.equal(first.reloads, 0);
  first.end();
  assert.equal(first.reloads, 1, "nothing frees it");
  const second = await page(session, false, false);
  second.takeOver();
  assert.equal(second.reloads, 1, "the old page stayed under the new worker");
  assert.equal(session.size, 0);
});

test("the word was said of one build alone: the page of another is not made anew by it", async () => {
  const other = await page(new Map([["applying_update", "another build"]]), false, false);
  other.takeOver();
  assert.equal(other.reloads, 0);
});

/** A first visit, or one under a worker, at which a newer shell comes: what is told of it, and when it is asked for. */
async function visit(controller: object | null, waiting: object | null) {
  const told = { waiting: 0, changed: 0, asked: 0 };
  const heard: { [name: string]: () => void } = {};
  const coming = { state: "installing", addEventListener: (_name: string, change: () => void) => (heard["statechange"] = change) };
  const found = { waiting, installing: coming, addEventListener: (name: string, hear: () => void) => (heard[name] = hear), update: () => Promise.resolve(told.asked++) };
  put("navigator", { serviceWorker: { controller, addEventListener: () => undefined, register: () => Promise.resolve(found) } });
  const watch = watchShell(() => told.waiting++, () => told.changed++, (error) => assert.equal(error, null));
  await Promise.resolve();
  await Promise.resolve();
  const comes = (state: string): void => {
    coming.state = state;
    heard["updatefound"]?.();
    heard["statechange"]?.();
  };
  return { told, watch, comes };
}

test("a newer shell is told of once it is whole, and a first one is no newer", async () => {
  const first = await visit(null, {});
  first.comes("installed");
  assert.deepEqual([first.told.waiting, first.told.changed], [0, 2]);
  const again = await visit({}, null);
  assert.deepEqual([again.told.waiting, again.told.changed], [0, 1]);
  again.comes("installing");
  assert.equal(again.told.waiting, 0);
  again.comes("installed");
  assert.equal(again.told.waiting, 1);
  assert.equal((await visit({}, {})).told.waiting, 1);
});

test("it is looked for every half hour at the most", async () => {
  const real = performance.now;
  let now = 0;
  performance.now = () => now;
  try {
    const { told, watch } = await visit({}, null);
    for (const [minutes, asked] of [[29, 0], [30, 1], [59, 1], [60, 2]] as const) {
      now = minutes * 60_000;
      watch.check();
      assert.equal(told.asked, asked, `${minutes} min`);
    }
  } finally {
    performance.now = real;
  }
});

test("ready for the basement is a page under a worker whose whole build is in the cache, and no tab of an iPhone's browser", async () => {
  const ready = async (controller: object | null, has: boolean, whole: boolean): Promise<boolean> => {
    put("navigator", { serviceWorker: { controller } });
    put("caches", { has: () => Promise.resolve(has), open: () => Promise.resolve({ match: () => Promise.resolve(whole ? {} : undefined) }) });
    return shellIsCached();
  };
  assert.deepEqual([await ready({}, true, true), await ready({}, true, false), await ready({}, false, true), await ready(null, true, true)], [true, false, false, false]);
  const isInstalled = (standalone?: boolean): boolean => (put("navigator", { standalone }), installed());
  assert.deepEqual([isInstalled(), isInstalled(true), isInstalled(false)], [true, true, false]);
});
