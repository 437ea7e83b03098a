/** Old and new shells on one store: they make room for each other, say when they cannot, and never hang. */
import "fake-indexeddb/auto";
import assert from "node:assert/strict";
import { test } from "node:test";
import { openDB } from "idb";
import { CoreError } from "../shell/core_types";
import { Database } from "../shell/core/db";
import { DATABASE_VERSION } from "../shell/core/schema";
import { FakeServer, JOB } from "./fake_server";
import { readyPhone } from "./phone";
import { until } from "./steps";

const NEWER = DATABASE_VERSION + 1;

test("a newer shell can upgrade while this one is open, and this one goes on afterwards", async () => {
  const phone = await readyPhone(new FakeServer());
  const newer = await openDB(phone.name, NEWER, { upgrade: (db) => void db.createObjectStore("later_store") });
  newer.close();
  await phone.core.act(JOB, [{ kind: "note", body: { words: "still here" } }]);
  assert.ok((await phone.rows("events")).some(({ event }) => event.kind === "note"));
});

test("the old code on a newer store works: a bad release can be taken back", async () => {
  const phone = await readyPhone(new FakeServer());
  phone.kill();
  (await openDB(phone.name, NEWER, { upgrade: (db) => void db.createObjectStore("later_store") })).close();
  await phone.restart();
  await phone.core.act(JOB, [{ kind: "note", body: { words: "old code" } }]);
  assert.equal(phone.core.jobs.value.length, 1);
  assert.equal((await openDB(phone.name)).version, NEWER);
});

test("an upgrade that is blocked says so and does not hang; it goes on when the other window has closed", async () => {
  const old = await openDB("blocked-store", 1, { blocking: () => undefined }); // a window that does not let go
  const said: boolean[] = [];
  const database = new Database("blocked-store", (blocked) => said.push(blocked), NEWER);
  await assert.rejects(database.setting("person"), (error) => error instanceof CoreError && error.code === "update_blocked");
  assert.deepEqual(said, [true]);
  old.close();
  await until(() => said.length > 1);
  assert.deepEqual(said, [true, false]);
});

test("a blocked shell starts with the trouble in its queue line, and is there once the other window has closed", async () => {
  const phone = await readyPhone(new FakeServer());
  phone.kill();
  const other = await openDB(phone.name, DATABASE_VERSION, { blocking: () => undefined });
  await phone.restart(NEWER);
  assert.equal(phone.core.queue.value.trouble, "update_blocked");
  assert.deepEqual(phone.core.jobs.value, []);
  other.close();
  phone.fire(2_000);
  await until(() => phone.core.jobs.value.length > 0);
  assert.equal(phone.core.queue.value.trouble, null);
  assert.equal(phone.core.jobs.value.length, 1);
});

test("what waits in the queue is sent as the bytes that were saved, whatever the shell has become", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  server.fault = () => Promise.reject(new TypeError("offline"));
  await phone.core.act(JOB, [{ kind: "kind_of_tomorrow", schema: 7, body: { z: 1, a: [2, { deep: "é" }] } }]);
  const [row] = await phone.rows("outbox");
  const text = new TextDecoder().decode(row!.bytes);
  const sent: string[] = [];
  phone.fetch = (_url, init) => {
    if (typeof init.body === "string") sent.push(init.body);
    return Promise.reject(new TypeError("offline"));
  };
  await phone.restart();
  await phone.core.syncNow();
  assert.ok(sent.some((body) => body.includes(`"events":[${text}]`)));
});
