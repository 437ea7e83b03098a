/** Acknowledged means present, exactly once; what is not acknowledged stays on the phone. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { openDB } from "idb";
import type { Draft, Photo } from "../shell/core_types";
import type { CoreSchema } from "../shell/core/schema";
import { FakeServer, JOB, PERSON, SITE, html, json, officeEvent, refuse } from "./fake_server";
import { readyPhone } from "./phone";
import { BYTES, LOOK, SHA, offline, onPush, ownIds, waitingPhone } from "./steps";

test("the queue drains, in batches of at most 200, and every event is there once", async () => {
  const server = new FakeServer();
  const phone = await waitingPhone(server, 1);
  await phone.core.act(JOB, Array.from({ length: 450 }, () => LOOK));
  await phone.core.syncNow();
  assert.equal((await phone.rows("outbox")).length, 0);
  assert.deepEqual((await ownIds(phone)).filter((id) => !server.all().has(id)), []);
  const sizes = server.calls.filter(({ path }) => path === "events").map(({ body }) => (body as { events: unknown[] }).events.length);
  assert.ok(Math.max(...sizes) === 200);
  assert.equal(phone.core.queue.value.waiting, 0);
  assert.ok(phone.core.queue.value.sent_at);
});

test("a response lost after the commit: sent again, taken as a duplicate, there once", async () => {
  const server = new FakeServer();
  const phone = await waitingPhone(server, 3);
  server.fault = onPush(async (_call, answer) => {
    await answer();
    throw new TypeError("the socket was cut");
  });
  await phone.core.syncNow();
  assert.equal(phone.core.queue.value.waiting, 3);
  assert.equal(phone.core.queue.value.trouble, "offline");
  server.fault = (_call, answer) => answer();
  await phone.core.syncNow();
  assert.equal((await phone.rows("outbox")).length, 0);
  assert.equal(server.streams.get(SITE)?.events.length, 2 + 3);
});

test("a push that arrives twice changes nothing", async () => {
  const server = new FakeServer();
  const phone = await waitingPhone(server, 3);
  server.fault = onPush(async (_call, answer) => {
    await answer();
    return answer();
  });
  await phone.core.syncNow();
  assert.equal((await phone.rows("outbox")).length, 0);
  assert.equal(server.streams.get(SITE)?.events.length, 5);
});

for (const [name, page] of [["HTML 200", () => html()], ["HTML 401", () => html(401)], ["JSON of a stranger", () => json(200, { ok: true })]] as const) {
  test(`the sign-in page of a hotel's Wi-Fi (${name}) acknowledges nothing and signs nobody out`, async () => {
    const server = new FakeServer();
    const phone = await waitingPhone(server, 2);
    server.fault = async () => page();
    await phone.core.syncNow();
    assert.equal(phone.core.queue.value.waiting, 2);
    assert.equal(phone.core.queue.value.trouble, "captive");
    assert.equal(await phone.setting("paused"), null);
  });
}

test("an answer that echoes another batch acknowledges nothing", async () => {
  const server = new FakeServer();
  const phone = await waitingPhone(server, 1);
  server.fault = onPush(async (call) => {
    const { events } = call.body as { events: { id: string }[] };
    return json(200, { batch_id: "another", results: events.map(({ id }) => ({ id, status: "stored" })) });
  });
  await phone.core.syncNow();
  assert.equal(phone.core.queue.value.waiting, 1);
});

test("a bad event parks itself and not the queue", async () => {
  const server = new FakeServer();
  const phone = await waitingPhone(server, 20);
  const [bad = ""] = (await ownIds(phone)).slice(7, 8);
  server.poison.add(bad);
  await phone.core.syncNow();
  assert.deepEqual((await phone.rows("outbox")).map(({ id, state, code }) => ({ id, state, code })), [{ id: bad, state: "parked", code: "bad_event" }]);
  assert.equal(phone.core.queue.value.parked, 1);
  assert.deepEqual(phone.core.queue.value.refused, [bad]); // nobody at the office knows of it
  assert.equal(server.all().size, 2 + 19);
  const file = JSON.parse((await phone.core.saveQueueToFile()).json) as { events: { id: string }[] };
  assert.deepEqual(file.events.map(({ id }) => id), [bad]);
});

test("an event for which the server refuses whole batches is found and parked", async () => {
  const server = new FakeServer();
  const phone = await waitingPhone(server, 20);
  const [bad = ""] = (await ownIds(phone)).slice(13, 14);
  server.fault = onPush(async (call, answer) => {
    const { events } = call.body as { events: { id: string }[] };
    return events.some(({ id }) => id === bad) ? refuse(422, "bad_batch") : answer();
  });
  await phone.core.syncNow();
  assert.deepEqual((await phone.rows("outbox")).map(({ id, state }) => [id, state]), [[bad, "parked"]]);
  assert.equal(server.all().size, 2 + 19);
});

test("401 pauses and deletes nothing; after signing in again the queue goes on", async () => {
  const server = new FakeServer();
  const phone = await waitingPhone(server, 20);
  server.tokens.clear();
  await phone.core.syncNow();
  const calls = server.calls.length;
  await phone.core.syncNow();
  assert.equal(server.calls.length, calls); // paused: it does not knock again
  assert.equal(phone.core.queue.value.trouble, "signed_out");
  assert.equal(phone.core.queue.value.waiting, 20);
  await phone.core.act(JOB, [LOOK]); // work goes on below ground
  server.tokens.add("token-1");
  await phone.core.enrol("123456");
  await phone.core.syncNow();
  assert.equal(phone.core.queue.value.trouble, null);
  assert.equal(server.all().size, 2 + 21);
});

test("403 stops the pull and keeps the queue; what the server still takes, it holds apart", async () => {
  const server = new FakeServer();
  const phone = await waitingPhone(server, 2);
  server.fault = async (call) => {
    if (call.path !== "events") return refuse(403, "device_revoked");
    const body = call.body as { batch_id: string; events: { id: string }[] };
    return json(200, { batch_id: body.batch_id, results: body.events.map(({ id }) => ({ id, status: "held" })) });
  };
  await phone.core.syncNow();
  assert.equal(phone.core.queue.value.trouble, "revoked");
  assert.deepEqual((await phone.rows("outbox")).map(({ state }) => state), ["held", "held"]);
  const before = server.calls.length;
  await phone.core.syncNow();
  assert.deepEqual(server.calls.slice(before).map(({ path }) => path), []);
  assert.equal((JSON.parse((await phone.core.saveQueueToFile()).json) as { events: unknown[] }).events.length, 2);
});

test("a server that hangs is given up after the limit, and tried again later each time", async () => {
  const server = new FakeServer();
  const phone = await waitingPhone(server, 1);
  server.fault = (_call, _answer) => new Promise(() => undefined);
  phone.fetch = (url, init) => new Promise((_resolve, reject) => {
    void server.fetch(url, init);
    init.signal?.addEventListener("abort", () => reject(new DOMException("too long", "AbortError")));
  });
  const waits: number[] = [];
  for (let i = 0; i < 8; i++) {
    phone.timers = [];
    const syncing = phone.core.syncNow();
    while (!phone.timers.some(({ delayMs }) => delayMs === 20_000)) await new Promise((done) => setTimeout(done, 1));
    phone.fire(20_000);
    await syncing;
    waits.push(Math.max(...phone.timers.map(({ delayMs }) => delayMs)));
  }
  assert.equal(phone.core.queue.value.trouble, "offline");
  assert.ok(Math.max(...waits) > 20_000 && Math.max(...waits) <= 302_000);
  assert.ok(new Set(waits).size === waits.length); // jittered
});

test("a photo goes after its event, counts only when its hash is echoed, and is kept", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  const photo: Photo = { bytes: BYTES.buffer as ArrayBuffer, sha256: SHA, width_px: 1, height_px: 1 };
  const shot: Draft = { kind: "photo_taken", body: { sha256: SHA, length_bytes: 7, media_type: "image/jpeg", width_px: 1, height_px: 1, check: null } };
  server.fault = offline;
  await phone.core.act(JOB, [shot], photo);
  await phone.core.syncNow();
  for (const stranger of [() => html(), () => json(200, { ok: true })]) {
    server.fault = (call, answer) => (call.method === "PUT" ? Promise.resolve(stranger()) : answer());
    await phone.core.syncNow();
    assert.equal(phone.core.queue.value.photos_waiting, 1);
    assert.equal(phone.core.queue.value.trouble, "captive");
  }
  server.fault = (_call, answer) => answer();
  await phone.core.syncNow();
  assert.equal(phone.core.queue.value.photos_waiting, 0);
  assert.ok(server.photos.has(SHA));
  assert.equal((await phone.core.photoBytes(SHA))?.byteLength, 7);
});

test("the photo of a parked event stays here with it", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  server.fault = offline;
  const photo: Photo = { bytes: BYTES.buffer as ArrayBuffer, sha256: SHA, width_px: 1, height_px: 1 };
  const shot: Draft = { kind: "photo_taken", body: { sha256: SHA, length_bytes: 7, media_type: "image/jpeg", width_px: 1, height_px: 1, check: null } };
  await phone.core.act(JOB, [shot], photo);
  server.fault = (_call, answer) => answer();
  (await ownIds(phone)).forEach((id) => server.poison.add(id));
  await phone.core.syncNow();
  await phone.core.syncNow();
  assert.equal(server.calls.filter(({ method }) => method === "PUT").length, 0);
  const file = JSON.parse((await phone.core.saveQueueToFile()).json) as { photos: { sha256: string; base64: string }[] };
  assert.deepEqual(file.photos.map(({ sha256, base64 }) => [sha256, atob(base64)]), [[SHA, "a photo"]]);
});

test("an answer that says nothing of an event leaves it waiting, and is not asked for again at once", async () => {
  const server = new FakeServer();
  const phone = await waitingPhone(server, 2);
  let pushes = 0;
  server.fault = onPush(async (call) => {
    if (++pushes > 5) throw new TypeError("it never stops");
    return json(200, { batch_id: (call.body as { batch_id: string }).batch_id, results: [] });
  });
  await phone.core.syncNow();
  assert.equal(pushes, 1);
  assert.equal(phone.core.queue.value.waiting, 2);
  assert.equal(phone.core.queue.value.trouble, "server");
});

test("a photo that the server refuses for good is counted, is in the file, and a newer shell tries it again", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  const photo: Photo = { bytes: BYTES.buffer as ArrayBuffer, sha256: SHA, width_px: 1, height_px: 1 };
  const shot: Draft = { kind: "photo_taken", body: { sha256: SHA, length_bytes: 7, media_type: "image/jpeg", width_px: 1, height_px: 1, check: null } };
  server.fault = (call, answer) => (call.method === "PUT" ? Promise.resolve(refuse(422, "bad_photo")) : answer());
  await phone.core.act(JOB, [shot], photo);
  await phone.core.syncNow();
  assert.deepEqual([phone.core.queue.value.photos_waiting, phone.core.queue.value.parked], [0, 1]);
  const file = JSON.parse((await phone.core.saveQueueToFile()).json) as { photos: { sha256: string }[] };
  assert.deepEqual(file.photos.map(({ sha256 }) => sha256), [SHA]);
  server.fault = (_call, answer) => answer();
  const db = await openDB<CoreSchema>(phone.name);
  await db.put("settings", "an older build", "build");
  db.close();
  await phone.restart();
  await phone.core.syncNow();
  assert.ok(server.photos.has(SHA));
});

test("who signs out while a round is under way stays signed out", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  server.store(officeEvent(9, "note", { words: "news" }, JOB));
  server.fault = async (call, answer) => {
    if (call.path === "manifest") await phone.core.signOut();
    return answer();
  };
  await phone.core.syncNow();
  assert.equal(phone.core.person.value, null);
  assert.equal(await phone.setting("person"), null);
});

test("a refusal of the last person's token does not pause the one who signed in meanwhile", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  server.fault = async (call, answer) => {
    if (call.path === "enrol") return json(200, { token: "token-2", person: PERSON, epoch: server.epoch, server_time: "2026-11-25T08:00:00Z" });
    if (call.path !== "manifest" || call.token !== "token-1") return answer();
    server.tokens = new Set(["token-2"]);
    await phone.core.enrol("654321");
    return refuse(401, "token_unknown");
  };
  await phone.core.syncNow();
  assert.equal(await phone.setting("paused"), null);
  assert.equal(phone.core.queue.value.trouble, null);
});

test("a lock that the browser refuses once does not stop the queue for ever", async () => {
  const server = new FakeServer();
  const phone = await waitingPhone(server, 1);
  phone.lockFails = true;
  await phone.core.syncNow();
  assert.equal((await phone.rows("outbox")).length, 1);
  phone.lockFails = false;
  await phone.core.syncNow();
  assert.deepEqual(await phone.rows("outbox"), []);
});

test("what is saved goes out even where the rules never answer", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  phone.engine = ({ id }) => ({ id, failed: "no engine" });
  const before = phone.timers.length;
  await phone.core.act(JOB, [LOOK]).catch(() => undefined);
  assert.ok(phone.timers.length > before);
  assert.ok(phone.timers.some(({ delayMs }) => delayMs === 400));
});
