/** The stored view: made anew when something is new, never when nothing is, and never an older one over a newer. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { openDB } from "idb";
import type { EngineAnswer, EngineQuestion } from "../shell/core/engine";
import type { CoreSchema, JobRow } from "../shell/core/schema";
import { jobList } from "../shell/core/list";
import { dangerWords } from "../shell/words";
import { FakeServer, JOB, SITE, officeEvent } from "./fake_server";
import { foldByIds, readyPhone, type Phone } from "./phone";
import { LOOK, offline, until } from "./steps";

const EARLIER = ["55555555-5555-7555-8555-555555555555", "66666666-6666-7666-8666-666666666666"] as const;

/** A server with two earlier visits at the address. */
function serverWithHistory(): FakeServer {
  const server = new FakeServer();
  EARLIER.forEach((job, i) => server.store({ ...officeEvent(10 + i, "job_booked", {}, job), at_wall: `2026-11-0${1 + i}T07:00:00.000Z` }));
  return server;
}

/** The names of the questions that the rules are asked, from now on. */
function listen(phone: Phone): string[] {
  const asked: string[] = [];
  const engine = phone.engine;
  phone.engine = (question) => {
    asked.push(question.name);
    return engine(question);
  };
  return asked;
}

async function changeRow(phone: Phone, change: Partial<JobRow>): Promise<void> {
  const db = await openDB<CoreSchema>(phone.name);
  await db.put("jobs", { ...(await db.get("jobs", JOB))!, ...change });
  db.close();
}

const idsOf = (record: unknown): string[] => (record as { ids: string[] }).ids;

test("a round without news asks the rules nothing and reads no event", async () => {
  const phone = await readyPhone(serverWithHistory());
  const asked = listen(phone);
  const read = IDBIndex.prototype.getAll;
  let reads = 0;
  IDBIndex.prototype.getAll = function (...args: Parameters<typeof read>) {
    if (this.objectStore.name === "events") reads += 1;
    return read.apply(this, args);
  };
  await phone.core.syncNow();
  await phone.core.openJob(JOB);
  await phone.core.syncNow();
  IDBIndex.prototype.getAll = read;
  assert.deepEqual([asked, reads], [[], 0]);
});

test("what this phone has sent comes back without being folded again", async () => {
  const phone = await readyPhone(new FakeServer());
  await phone.core.act(JOB, [LOOK]);
  const asked = listen(phone);
  await phone.core.syncNow();
  assert.deepEqual(await phone.rows("outbox"), []);
  assert.deepEqual(asked.filter((name) => name === "step"), []);
});

test("only the earlier visit that has news is asked anew", async () => {
  const server = serverWithHistory();
  const phone = await readyPhone(server);
  const asked = listen(phone);
  server.store(officeEvent(20, "note", { words: "she rang again" }, EARLIER[0]));
  await phone.core.syncNow();
  assert.deepEqual(asked, ["history_entry"]);
  const { history } = await phone.core.openJob(JOB);
  assert.deepEqual(history.map((entry) => idsOf(entry).length), [1, 2]);
});

test("news of the address itself reach card and facts", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  server.store(officeEvent(20, "address_given", { street: "14 Cellar Row", town: "Lowfield", access_words: "round the back" }, null));
  await phone.core.syncNow();
  assert.equal(phone.core.jobs.value[0]?.street, "14 Cellar Row");
  assert.equal((await phone.core.openJob(JOB)).facts.access_words, "round the back");
});

test("a record that an older build folded is folded anew before a screen sees it, history too", async () => {
  const phone = await readyPhone(serverWithHistory());
  const older = { record: {} as JobRow["record"], folded_by: "older", address_stamp: "older x", history: [{} as JobRow["history"][0]] };
  await changeRow(phone, older);
  phone.fetch = offline;
  await phone.restart();
  assert.equal(phone.core.jobs.value.length, 1);
  const view = await phone.core.openJob(JOB);
  assert.equal(idsOf(view.record).length, 1);
  assert.deepEqual(view.history.map((entry) => idsOf(entry).length), [1, 1]);
});

test("what stands open is folded anew after an update without signal, before it is opened: its danger is on the list", async () => {
  const phone = await readyPhone(new FakeServer());
  const [before] = await phone.rows("jobs");
  await changeRow(phone, { folded_by: "older", record: { put_back: [] } as unknown as JobRow["record"], card: { ...before!.card, state: "open" } });
  phone.fetch = offline;
  await phone.restart();
  const asked = listen(phone);
  phone.fire(150);
  await until(() => asked.includes("step"));
  let row = (await phone.rows("jobs"))[0];
  for (let tries = 0; row?.folded_by === "older" && tries < 200; tries++) row = (await phone.rows("jobs"))[0];
  assert.deepEqual(row?.danger, []);
  assert.notEqual(row?.folded_by, "older");
  assert.equal(idsOf(row?.record).length, 1);
});

test("a closed job of an older build waits until it is opened, and where nothing is older the rules are not woken", async () => {
  const phone = await readyPhone(new FakeServer());
  const [row] = await phone.rows("jobs");
  await changeRow(phone, { folded_by: "older", card: { ...row!.card, state: "closed" } });
  phone.fetch = offline;
  await phone.restart();
  const asked = listen(phone);
  phone.fire(150);
  await phone.core.syncNow();
  assert.deepEqual(asked.filter((name) => name === "step"), []);
});

test("where the rules do not start, the older record is better than none", async () => {
  const phone = await readyPhone(new FakeServer());
  await changeRow(phone, { folded_by: "older" });
  phone.engine = ({ id }) => ({ id, failed: "no engine" });
  phone.fetch = offline;
  await phone.restart();
  assert.equal(idsOf((await phone.core.openJob(JOB)).record).length, 1);
});

test("a refresh that began before an act does not put the older state over the newer one", async () => {
  const server = serverWithHistory();
  const phone = await readyPhone(server);
  await changeRow(phone, { address_stamp: "older x", folded: 0 });
  phone.fetch = offline;
  const held: EngineQuestion[] = [];
  phone.engine = (question) => (question.name === "history_entry" ? (held.push(question), null) : foldByIds(question));
  const answer = (question?: EngineQuestion): void => phone.port?.onmessage?.({ data: foldByIds(question!) } as MessageEvent<EngineAnswer>);
  await phone.core.openJob(JOB);
  await until(() => held.length === 1);
  const acting = phone.core.act(JOB, [LOOK]);
  while ((await phone.rows("outbox")).length === 0);
  answer(held[0]);
  const { view } = await acting;
  await until(() => held.length === 2);
  answer(held[1]);
  while ((await phone.rows("jobs"))[0]?.address_stamp === "older x"); // the refresh has ended
  assert.deepEqual(idsOf(phone.core.view.value?.record), idsOf(view.record));
  const [row] = await phone.rows("jobs");
  assert.deepEqual(idsOf(row?.record), idsOf(view.record));
});

test("a kind that this shell does not know is kept, sent back after a restore, and stops nothing", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  server.store({ ...officeEvent(30, "seen_by_drone", { height_ft: 30 }, JOB), schema: 7 });
  server.store({ ...officeEvent(31, "note", { later_words: ["another shape"] }, JOB), schema: 9 });
  await phone.core.syncNow();
  assert.equal(idsOf((await phone.core.openJob(JOB)).record).length, 3);
  server.streams.get(SITE)!.events.splice(2);
  server.epoch = "epoch-2";
  await phone.core.syncNow();
  assert.deepEqual([...server.all().values()].map(({ kind, schema }) => `${kind} ${schema}`), ["address_given 1", "job_booked 1", "seen_by_drone 7", "note 9"]);
});

test("the list says that another visit left a heater off, until this job puts it back by name", () => {
  const card = { job_id: JOB, booked_at: null, state: "booked" };
  const left = { event_id: "e1", wall: "2026-11-09T09:00:00Z", what_words: "The heater" };
  const row = (...back: (string[] | null)[]): JobRow => ({ card, facts: { left_off: [left] }, record: { heater_off: false, put_back: back.map((left_off_ids) => ({ left_off_ids })) } } as unknown as JobRow);
  assert.deepEqual([row(), row(["e2"]), row(["e1"])].map((one) => jobList([one])[0]?.stands_off), [true, true, false]);
  const older = { ...row(), facts: { left_off: null } } as unknown as JobRow; // as an older shell wrote it
  assert.equal(jobList([older])[0]?.stands_off, false);
});

test("the list ends what stands off by no word that does not count", () => {
  const card = { job_id: JOB, booked_at: null, state: "open" };
  const facts = { left_off: [{ event_id: "e1", wall: "2026-11-09T09:00:00Z", what_words: "The heater" }] };
  const row = { card, facts, record: { heater_off: false, put_back: [{ left_off_ids: ["e1"], counts: false }] } } as unknown as JobRow;
  assert.equal(jobList([row])[0]?.stands_off, true);
});

test("the list says what stops the visit and what is unsafe, from the stored row alone", () => {
  const danger = [{ check: "smell_of_gas", words: "Smell of gas", stops: true, by: null }, { check: "joints", words: "Joints: parted", stops: false, by: null }];
  const row = (heater_off: boolean): JobRow => ({ card: { job_id: JOB, booked_at: null, state: "open" }, danger, record: { heater_off, put_back: [] } } as unknown as JobRow);
  const said = (heaterOff: boolean) => jobList([row(heaterOff)])[0]?.danger?.map(({ check }) => check);
  assert.deepEqual([said(false), said(true)], [["smell_of_gas", "joints"], ["smell_of_gas"]]);
});

test("the list says what another visit found, apart from what this one did, and nothing of another heater", () => {
  const line = { check: "co_room", words: "CO in the room: Leave now, 90 ppm", stop_words: "Everybody out now.", other_heater: false };
  const row = (elsewhere: object[]): JobRow => ({ card: { job_id: JOB, booked_at: null, state: "booked" }, facts: { elsewhere }, record: { heater_off: false, put_back: [] } } as unknown as JobRow);
  const said = (elsewhere: object[]) => dangerWords(jobList([row(elsewhere)])[0]?.danger ?? []);
  assert.equal(said([line]), "Another visit: stop. CO in the room: Leave now, 90 ppm");
  assert.equal(said([{ ...line, other_heater: true }]), "");
});

test("the list keeps what was found unsafe and only looked at again, closed or not", () => {
  const row = (state: string, looked_again?: object[]): JobRow => ({ card: { job_id: JOB, booked_at: null, state }, advice: { ...(looked_again && { looked_again }) }, record: { heater_off: false, put_back: [] } } as unknown as JobRow);
  const line = { was_words: "CO in the room was 90 ppm", since_words: "nobody noted what put it right" };
  assert.deepEqual(["open", "closed"].map((state) => jobList([row(state, [line])])[0]?.again), Array(2).fill("CO in the room was 90 ppm"));
  assert.equal(jobList([row("open")])[0]?.again, null);
});

test("a visit that is stopped goes before one that goes on, however long ago that was booked", () => {
  const row = (job_id: string, stops: boolean): JobRow => ({ card: { job_id, booked_at: `2026-11-2${job_id}`, state: "open" }, danger: [{ check: "joints", words: "Joints: parted", stops, by: null }], record: { heater_off: false, put_back: [] } } as unknown as JobRow);
  assert.deepEqual(jobList([row("1", false), row("2", true)]).map(({ job_id }) => job_id), ["2", "1"]);
});

test("what is unsafe is stored with the record that says so, and survives a restart without signal", async () => {
  const phone = await readyPhone(new FakeServer());
  const checks = [{ id: "co_room", title: "CO in the room", readings: [{ quantity: "co_room_ppm", optional: false }], outcomes: [{ id: "leave", words: "Leave now", stop_words: "Everybody out now." }] }];
  const by = { event_id: "e1", person_id: "p1", lamport: 1, at_wall: "2026-11-25T08:00:00Z" };
  const record = { checks: [], proofs: [], put_back: [], readings: [{ check: "co_room", quantity: "co_room_ppm", value: 90, by }], heater_off: false };
  const db = await openDB<CoreSchema>(phone.name);
  for (const one of await db.getAll("procedures")) await db.put("procedures", { ...one, procedure: { ...one.procedure, checks } as never });
  db.close();
  phone.engine = ({ id, name }) => ({ id, heap_bytes: 1_000_000, text: JSON.stringify({ ok: name === "step" ? { record, advice: { gate: { state: "open" }, unsafe: ["CO in the room: Leave now"] } } : record }) });
  phone.fetch = offline;
  await phone.restart();
  await phone.core.act(JOB, [LOOK]);
  while (!(await phone.rows("jobs"))[0]?.danger?.length); // it is kept beside the screen's own way
  await phone.restart();
  assert.deepEqual(phone.core.jobs.value[0]?.danger?.map(({ words, stops }) => [words, stops]), [["CO in the room: Leave now, 90 ppm", true]]);
});

test("a caller's alarm marks the card of every job of the address and ranks it first, until that visit has looked into it", () => {
  const by = { event_id: "e1", person_id: "p1", lamport: 1, at_wall: "2026-11-25T08:00:00Z", clock_offset: 0 };
  const own = (job_id: string) => ({ calls: [{ job_id, wall: by.at_wall, at_ms: Date.parse(by.at_wall), asked: ["smell_of_gas", "co_room"], words: "smell of gas, CO alarm (not sure)" }] });
  const other = { job_id: "9", wall: by.at_wall, at_ms: Date.parse(by.at_wall), asked: ["smell_of_gas"], words: "smell of gas" };
  const looked = (check: string, at_wall: string) => ({ check, entries: [{ outcome: "x", by: { ...by, at_wall } }] });
  const row = (job_id: string, record: object, facts = {}): JobRow => ({ card: { job_id, booked_at: `2026-11-2${job_id}`, state: "booked" }, facts: { left_off: [], ...facts }, record: { heater_off: false, put_back: [], checks: [], ...record } } as unknown as JobRow);
  const quiet = row("1", {});
  const [first, second] = jobList([quiet, row("2", {}, own("2"))]);
  assert.deepEqual([first?.job_id, dangerWords(first?.danger ?? []), second?.danger], ["2", "The caller said: smell of gas, CO alarm (not sure)", []]);
  const [marked] = jobList([quiet, row("3", {}, { calls: [other] })]);
  assert.ok(/^Another call from this address .*: smell of gas$/.test(dangerWords(marked?.danger ?? [])));
  const said = (record: object, facts = {}) => jobList([row("4", record, facts)])[0]?.danger?.length;
  assert.equal(said({ checks: [looked("smell_of_gas", "2026-11-25T09:00:00Z")] }, { calls: [other] }), 0);
  assert.equal(said({ checks: [looked("smell_of_gas", "2026-11-25T07:00:00Z")] }, { calls: [other] }), 1);
  assert.equal(said({ checks: [looked("smell_of_gas", "2026-11-25T08:00:00Z")] }, { calls: [other] }), 1); // no later than the call
  assert.equal(said({ checks: [{ check: "smell_of_gas", entries: [{ outcome: null, by: { ...by, at_wall: "2026-11-25T09:00:00Z" } }] }] }, { calls: [other] }), 1); // could not look
  assert.equal(said({ checks: [looked("smell_of_gas", "2026-11-25T09:00:00Z")] }, own("4")), 1);
  assert.deepEqual([own("4"), { calls: [other] }].map((facts) => jobList([row("4", {}, facts)])[0]?.danger?.[0]?.elsewhere), [false, true]);
});
