/** What comes down: streams without a gap, another past, histories; and what it says of our own queue. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { FakeServer, JOB, SITE, json, officeEvent, refuse } from "./fake_server";
import { readyPhone } from "./phone";
import { BYTES, LOOK, offline, onPush, ownIds, sha256, waitingPhone } from "./steps";

test("a restored server (new epoch) gets back own and pulled events of 30 days, and all is pulled anew", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  await phone.core.act(JOB, [LOOK, LOOK]);
  await phone.core.syncNow();
  server.store(officeEvent(3, "note", { words: "gate code 12" }, JOB));
  server.store({ ...officeEvent(4, "note", { words: "old" }, JOB), dev_seq: 4 });
  server.streams.get(SITE)!.events.at(-1)!.received_at = "2026-09-01T00:00:00Z"; // older than 30 days: rests on backups
  await phone.core.syncNow();
  const before = [...server.all().keys()];
  const stream = server.streams.get(SITE)!;
  stream.events = stream.events.slice(0, 2); // an old copy
  server.epoch = "epoch-2";
  await phone.core.syncNow();
  await phone.core.syncNow();
  const lost = before.filter((id) => !server.all().has(id));
  assert.deepEqual(lost, [officeEvent(4, "", {}, null).id]);
  assert.equal((await phone.rows("outbox")).length, 0);
  assert.equal((await phone.rows("streams"))[0]?.cursor, server.streams.get(SITE)?.events.length);
});

test("another chain under the same epoch, or a head behind the cursor: pulled anew, offered again", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  await phone.core.act(JOB, [LOOK, LOOK]);
  await phone.core.syncNow();
  const stream = server.streams.get(SITE)!;
  stream.events = stream.events.slice(0, 2);
  await phone.core.syncNow();
  await phone.core.syncNow();
  assert.equal(server.all().size, 4);
  const kept = [...server.all().values()];
  stream.events = [];
  stream.salt = "other";
  kept.forEach((event) => server.store(event));
  server.store(officeEvent(5, "note", { words: "more" }, JOB));
  await phone.core.syncNow();
  assert.equal((await phone.rows("events")).length, 5);
  assert.equal((await phone.rows("outbox")).length, 0);
});

test("a gap in the stream is refused, and the cursor stays where it was", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  server.store(officeEvent(6, "note", { words: "one" }, JOB));
  server.store(officeEvent(7, "note", { words: "two" }, JOB));
  server.fault = async (call, answer) => {
    const response = await answer();
    if (!call.path.startsWith("sites/")) return response;
    const page = (await response.json()) as { events: unknown[] };
    return json(200, { ...page, events: page.events.slice(1) });
  };
  await phone.core.syncNow();
  assert.equal((await phone.rows("streams"))[0]?.cursor, 2);
  assert.equal(phone.core.readiness.value.steps.find(({ id }) => id === "jobs")?.done, false);
  server.fault = (_call, answer) => answer();
  await phone.core.syncNow();
  assert.equal((await phone.rows("streams"))[0]?.cursor, 4);
});

test("a heater whose kind was corrected before anybody began is walked by the checks of that kind", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  for (const [number, procedure_name, hash] of [[20, "standing_pilot", null], [21, "power_vent", "p1"]] as const) {
    server.store(officeEvent(number, "job_moved", { procedure_name, why: "seen there" }, JOB));
    await phone.core.syncNow();
    assert.equal((await phone.rows("jobs"))[0]?.procedure_hash, hash);
  }
});

test("a photo that comes with other bytes is left out, noted, and holds up nothing", async () => {
  const server = new FakeServer();
  const [wrong, right] = ["0".repeat(64), await sha256(BYTES)];
  for (const name of [wrong, right]) server.photos.set(name, BYTES.buffer as ArrayBuffer);
  const phone = await readyPhone(server);
  assert.deepEqual((await phone.rows("photos")).map((row) => row.sha256), [right]);
  assert.equal(phone.core.queue.value.trouble, null);
  assert.ok((await phone.rows("log")).some(({ code, words }) => code === "photo_wrong_bytes" && words === wrong));
});

test("a photo that a restored server has lost is sent again, by whoever has it", async () => {
  const server = new FakeServer();
  server.store(officeEvent(30, "photo_taken", { sha256: await sha256(BYTES) }, JOB));
  server.photos.set(await sha256(BYTES), BYTES.buffer as ArrayBuffer);
  const phone = await readyPhone(server);
  assert.equal((await phone.rows("photos"))[0]?.state, "pulled");
  server.photos.clear();
  server.epoch = "epoch-2";
  await phone.core.syncNow();
  await phone.core.syncNow();
  assert.equal(server.photos.size, 1);
  assert.equal((await phone.rows("photos"))[0]?.state, "sent");
});

test("an own event that comes back in the stream counts as acknowledged", async () => {
  const server = new FakeServer();
  const phone = await waitingPhone(server, 2);
  server.fault = onPush(async (_call, answer) => {
    await answer();
    return refuse(503, "busy"); // it has them, and cannot say so
  });
  await phone.core.syncNow();
  assert.equal(phone.core.queue.value.trouble, "server");
  assert.equal(phone.core.queue.value.waiting, 0);
});

test("another event of the server under an own id is not an acknowledgement", async () => {
  const server = new FakeServer();
  const phone = await waitingPhone(server, 1);
  const [id = ""] = await ownIds(phone);
  server.store({ ...officeEvent(8, "note", { words: "not ours" }, JOB), id });
  await phone.core.syncNow();
  assert.deepEqual((await phone.rows("outbox")).map(({ state, code }) => [state, code]), [["parked", "id_reused"]]);
});

test("an address that is gone since the manifest does not stop the others", async () => {
  const server = new FakeServer();
  const other = "77777777-7777-7777-8777-777777777777";
  server.streams = new Map([[other, { events: [], salt: "" }], ...server.streams]);
  server.store(officeEvent(20, "note", { words: "elsewhere" }, null, other));
  server.fault = (call, answer) => (call.path.startsWith(`sites/${other}`) ? Promise.resolve(refuse(404, "not_found")) : answer());
  const phone = await readyPhone(server);
  assert.equal(phone.core.jobs.value.length, 1);
});

test("a job that goes to somebody else leaves the list, unless this phone has a part in it", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  const given = server.jobs;
  server.jobs = [];
  server.store(officeEvent(21, "job_moved", {}, JOB));
  await phone.core.syncNow();
  assert.equal(phone.core.jobs.value.length, 0);
  server.jobs = given;
  server.store(officeEvent(22, "job_moved", {}, JOB));
  await phone.core.syncNow();
  await phone.core.act(JOB, [LOOK]);
  server.jobs = [];
  await phone.core.syncNow();
  server.store(officeEvent(23, "job_moved", {}, JOB));
  await phone.core.syncNow();
  assert.equal(phone.core.jobs.value.length, 1);
});

test("whoever had a part in a job that went to somebody else sees who has it now, until it comes back", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  const [given] = server.jobs;
  const other = { id: "99999999-9999-7999-8999-999999999999", name: "Teodor Amsel" };
  server.people.push(other);
  await phone.core.act(JOB, [LOOK]);
  const seen: unknown[] = [];
  for (const [n, technician_id] of [other.id, given!.technician_id].entries()) {
    server.jobs = [{ ...given!, technician_id }];
    server.store(officeEvent(21 + n, "job_moved", { technician_id }, JOB));
    await phone.core.syncNow();
    seen.push(phone.core.jobs.value.map(({ handed_to }) => handed_to), (await phone.core.openJob(JOB)).card.handed_to);
  }
  assert.deepEqual(seen, [["Teodor Amsel"], "Teodor Amsel", [null], null]);
});

test("the next job at the address brings the earlier one's history, newest first, stored for the first paint", async () => {
  const server = new FakeServer();
  server.store({ ...officeEvent(10, "job_booked", { complaint: "no_hot_water" }, "55555555-5555-7555-8555-555555555555"), at_wall: "2026-11-01T07:00:00.000Z" });
  server.store({ ...officeEvent(11, "job_booked", { complaint: "no_hot_water" }, "66666666-6666-7666-8666-666666666666"), at_wall: "2026-11-10T07:00:00.000Z" });
  server.store({ ...officeEvent(12, "arrived", {}, "55555555-5555-7555-8555-555555555555"), at_wall: "2026-11-01T09:00:00.000Z" });
  const phone = await readyPhone(server);
  server.fault = offline;
  phone.engine = () => null;
  await phone.restart();
  const view = await phone.core.openJob(JOB);
  assert.equal(view.history.length, 2);
  assert.deepEqual(view.history.map((entry) => (entry as unknown as { ids: string[] }).ids), [[officeEvent(11, "", {}, null).id], [officeEvent(10, "", {}, null).id, officeEvent(12, "", {}, null).id]]);
  assert.equal(view.card.visits_before, 1); // nobody has begun the other: a call is no visit
  assert.equal(view.card.calls_before, 1);
  assert.equal(view.card.returning, true);
});

test("an address that is no longer the same one takes its history with it, though this phone still keeps its events", async () => {
  const server = new FakeServer();
  const [other, earlier] = ["5a000000-0000-4000-8000-0000000000ff", "0b000000-0000-4000-8000-0000000000ff"];
  server.store({ ...officeEvent(40, "job_booked", { complaint: "no_hot_water" }, earlier), site_id: other, at_wall: "2026-11-01T07:00:00.000Z" });
  const phone = await readyPhone(server);
  assert.equal((await phone.core.openJob(JOB)).history.length, 1);
  server.parted.add(other); // the office took "same address" back: the other one is not this phone's to see
  server.store(officeEvent(41, "note", { words: "gate code 12" }, JOB));
  await phone.core.syncNow();
  assert.equal((await phone.core.openJob(JOB)).history.length, 0);
  assert.ok((await phone.rows("events")).some(({ event }) => event.site_id === other)); // a restored server may need them
});

test("the card says what was promised last, and nothing once that was taken back", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  const said = async (n: number, body: { [key: string]: unknown }): Promise<unknown> => {
    server.store({ ...officeEvent(n, "job_moved", body, JOB), schema: 3 });
    await phone.core.syncNow();
    return phone.core.jobs.value.find(({ job_id }) => job_id === JOB)?.due_wall;
  };
  assert.equal(await said(70, { due_wall: "2026-11-26T17:00:00Z" }), "2026-11-26T17:00:00Z");
  assert.equal(await said(71, { phone: "555-0102" }), "2026-11-26T17:00:00Z"); // corrects something else
  assert.equal(await said(72, { due_cleared: true }), null);
});
