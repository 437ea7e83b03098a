/** A newer shell begins by the technician's word, also when the browser forgets to let it. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { watchShell } from "../shell/core/shell_state";

/** One page of a browser whose worker takes over, or never does; its own patience is made short. */
async function page(session: Map<string, string>, takesOver: boolean): Promise<{ reloads: number; takeOver: () => void; end: () => void }> {
  const seen = { reloads: 0, takeOver: () => undefined as void, end: () => undefined as void };
  const waiting = { postMessage: () => (takesOver ? seen.takeOver() : undefined) };
  const container = {
    controller: {},
    addEventListener: (_name: string, heard: () => void) => (seen.takeOver = heard),
    register: () => Promise.resolve({ waiting, addEventListener: () => undefined }),
  };
  const realTimeout = globalThis.setTimeout;
  const timers: (() => void)[] = [];
  const put = (name: string, value: unknown): void => void Object.defineProperty(globalThis, name, { value, configurable: true, writable: true });
  put("navigator", { serviceWorker: container });
  put("location", { reload: () => seen.reloads++ });
  put("sessionStorage", {
    getItem: (key: string) => session.get(key) ?? null,
    setItem: (key: string, value: string) => session.set(key, value),
    removeItem: (key: string) => session.delete(key),
  });
  put("setTimeout", (run: () => void) => timers.push(run));
  const watch = watchShell(() => watch.apply(), () => undefined, (error) => assert.equal(error, null));
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
  const second = await page(session, false);
  second.takeOver();
  assert.equal(second.reloads, 1, "the old page stayed under the new worker");
  assert.equal(session.size, 0);
});
