/** What was typed and not saved, over a new start of the page: back as it was, and gone where it should be. */
import { page } from "./a_page";
import assert from "node:assert/strict";
import { test } from "node:test";
import { signal } from "@preact/signals-core";
import type { JobView, UnsavedForm } from "../shell/core_types";
import { jobHref, parseRoute } from "../shell/router";
import type { Local, Locals, Screen, Stage } from "../shell/screens/screen";
import { dropUnsaved, followTyped } from "../shell/screens/unsaved";
import { FakeServer, JOB, PERSON, json } from "./fake_server";
import { readyPhone, type Phone } from "./phone";
import { until } from "./steps";

const FORM: UnsavedForm = { href: jobHref(JOB, "proof"), title: "The hot run", at_wall: "2026-11-25T07:00:00Z", lamport: 3, visit: "", values: { proof: { minutes: 12 }, "proof words": "steady" } };
const RECORD = { lamport: 3, arrivals: [], repairs: [], proofs: [], notes: [], checks: [], codes: [] };
const NOBODY = "11111111-1111-7111-8111-111111111112";

/** A form on the screen: its typed values, as they are first. */
function form(phone: Phone, screen: "proof" | "note" | "check", firsts: { [name: string]: unknown }, record: object = {}): { locals: Locals; draw: () => void } {
  const locals: Locals = new Map(Object.entries(firsts).map(([name, first]) => [name, Object.assign(signal<unknown>(first), { first }) as Local]));
  const view = { card: { job_id: JOB }, record: { ...RECORD, ...record } } as unknown as JobView;
  const core = { person: phone.core.person, view: signal(view), unsaved: phone.core.unsaved.bind(phone.core), keepUnsaved: phone.core.keepUnsaved.bind(phone.core) };
  const stage = { core, route: parseRoute(jobHref(JOB, screen, screen === "check" ? "co_room" : undefined)) } as unknown as Stage;
  const draw = (): void => followTyped(stage, { title: screen, key: screen } as Screen, locals);
  return { locals, draw };
}

/** The page as it is after a start: nothing of this job is remembered. */
async function newStart(): Promise<void> {
  const core = { person: signal(PERSON), view: signal({ card: { job_id: NOBODY }, record: RECORD }), unsaved: async () => [] };
  followTyped({ core, route: parseRoute(jobHref(NOBODY)) } as unknown as Stage, { title: "", key: "" } as Screen, new Map());
  await new Promise((done) => setTimeout(done, 0)); // read
}

async function kept(phone: Phone): Promise<UnsavedForm[]> {
  return phone.core.unsaved(PERSON.id, JOB);
}

async function stored(row: UnsavedForm = FORM): Promise<Phone> {
  const phone = await readyPhone(new FakeServer());
  await phone.core.keepUnsaved(PERSON.id, JOB, row.href, row);
  await newStart();
  return phone;
}

/** Draws the page until what is kept is as it should be. */
async function keptUntil(phone: Phone, isRight: (rows: UnsavedForm[]) => boolean, draw = (): void => undefined): Promise<void> {
  for (const until_ms = Date.now() + 5_000; ;) {
    draw();
    if (isRight(await kept(phone))) return;
    assert.ok(Date.now() < until_ms, `kept: ${JSON.stringify(await kept(phone))}`);
    await new Promise((done) => setTimeout(done, 5));
  }
}

test("what is typed is kept after a pause, all of one form together, and nothing of it is an event", async () => {
  const phone = await stored({ ...FORM, href: jobHref(JOB, "note"), values: { note: "older" } });
  const { locals, draw } = form(phone, "proof", { proof: {}, "proof words": "", "proof fans": false });
  draw();
  locals.get("proof")!.value = { minutes: 12 };
  draw();
  locals.get("proof words")!.value = "steady";
  draw();
  await keptUntil(phone, (rows) => rows.length === 2);
  const row = (await kept(phone)).find(({ href }) => href === FORM.href);
  assert.deepEqual([row?.title, row?.values], ["proof", { proof: { minutes: 12 }, "proof words": "steady" }]);
  assert.equal((await phone.rows("events")).filter(({ own }) => own).length, 0);
  assert.equal((await phone.rows("outbox")).length, 0);
});

test("it is kept at once where the phone is put away, and the tap that saves an event never waits for it", async () => {
  const phone = await stored({ ...FORM, href: jobHref(JOB, "note"), values: { note: "older" } });
  const { locals, draw } = form(phone, "proof", { proof: {} });
  draw();
  await until(() => locals.get("proof")!.peek() !== undefined);
  await new Promise((done) => setTimeout(done, 5));
  const stores: [string, string][] = [];
  const plain = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (names, mode, options) {
    if (mode === "readwrite") stores.push([String(names), options?.durability ?? ""]);
    return plain.call(this, names as string[], mode, options);
  };
  locals.get("proof")!.value = { minutes: 12 };
  page.send("pagehide");
  await phone.core.act(JOB, [{ kind: "note", body: { words: "beside it" } }]);
  IDBDatabase.prototype.transaction = plain;
  assert.deepEqual(stores.filter(([names]) => names.includes("kept")), [["kept", "relaxed"]]);
  assert.equal((await kept(phone)).length, 2);
});

test("after a new start it stands on its form as it was, and takes the place of nothing that was typed since", async () => {
  const phone = await stored();
  const { locals, draw } = form(phone, "proof", { proof: {}, "proof words": "", "proof fans": false });
  draw();
  locals.get("proof words")!.value = "typed before it came";
  let judged = 0;
  locals.get("proof")!.cameBack = () => (judged += 1);
  await until(() => (draw(), judged > 0));
  assert.deepEqual([...locals.values()].map((one) => one.peek()), [{ minutes: 12 }, "typed before it came", false]);
  assert.equal(judged, 1);
  locals.get("proof")!.value = {};
  draw();
  await new Promise((done) => setTimeout(done, 5));
  assert.deepEqual(locals.get("proof")!.peek(), {}, "what was rubbed out came back");
});

test("a part of the form that is not open loses nothing", async () => {
  const phone = await stored();
  const { locals, draw } = form(phone, "proof", { proof: {} });
  await until(() => (draw(), "minutes" in (locals.get("proof")!.peek() as object)));
  locals.get("proof")!.value = { minutes: 15 };
  draw();
  page.send("pagehide");
  await keptUntil(phone, ([row]) => JSON.stringify(row?.values) === JSON.stringify({ "proof words": "steady", proof: { minutes: 15 } }));
});

test("saved or thrown away it is gone", async () => {
  const phone = await stored();
  const { locals, draw } = form(phone, "proof", { proof: {} });
  await until(() => (draw(), "minutes" in (locals.get("proof")!.peek() as object)));
  dropUnsaved(phone.core, parseRoute(FORM.href));
  page.send("pagehide"); // before anything is drawn anew
  await keptUntil(phone, (rows) => rows.length === 0);
});

test("what was saved in the last moment before the page went is not offered again", async () => {
  const phone = await stored();
  const { locals, draw } = form(phone, "proof", { proof: {} }, { lamport: 4, proofs: [{ by: { person_id: PERSON.id, lamport: 4 } }] });
  draw();
  await keptUntil(phone, (rows) => rows.length === 0, draw);
  assert.deepEqual(locals.get("proof")!.peek(), {});
});

test("a record that is not up to date yet takes nothing away", async () => {
  const phone = await stored({ ...FORM, href: jobHref(JOB, "check", "co_room"), visit: "1 0", values: { "figures co_room": { ppm: 1 } } });
  const firsts = { "figures co_room": {} };
  const stale = form(phone, "check", firsts, { lamport: 2 });
  await keptUntil(phone, () => true, stale.draw);
  stale.draw();
  page.send("pagehide");
  await new Promise((done) => setTimeout(done, 5));
  assert.deepEqual(stale.locals.get("figures co_room")!.peek(), {});
  const fresh = form(phone, "check", firsts, { lamport: 3, arrivals: [{}] });
  await until(() => (fresh.draw(), "ppm" in (fresh.locals.get("figures co_room")!.peek() as object)));
  assert.equal((await kept(phone)).length, 1);
});

test("another one's hot run says nothing of what this person typed", async () => {
  const phone = await stored();
  const { locals, draw } = form(phone, "proof", { proof: {} }, { lamport: 4, proofs: [{ by: { person_id: NOBODY, lamport: 4 } }] });
  await until(() => (draw(), "minutes" in (locals.get("proof")!.peek() as object)));
});

test("a figure of before a repair, or of an earlier visit, does not come back to its check", async () => {
  for (const record of [{ repairs: [{}] }, { arrivals: [{}] }]) {
    const phone = await stored({ ...FORM, href: jobHref(JOB, "check", "co_room"), visit: "0 0", values: { "figures co_room": { ppm: 1 } } });
    const { locals, draw } = form(phone, "check", { "figures co_room": {} }, record);
    draw();
    await keptUntil(phone, (rows) => rows.length === 0, draw);
    assert.deepEqual(locals.get("figures co_room")!.peek(), {});
  }
});

test("a pad without a figure and a box that was opened are nothing typed", async () => {
  const phone = await stored({ ...FORM, values: { proof: { minutes: 12 } } });
  const { locals, draw } = form(phone, "proof", { proof: {}, "proof pad": null, "part form": false });
  await until(() => (draw(), "minutes" in (locals.get("proof")!.peek() as object)));
  locals.get("proof")!.value = {};
  locals.get("proof pad")!.value = { field: "minutes", text: "" };
  locals.get("part form")!.value = true;
  draw();
  page.send("pagehide");
  await keptUntil(phone, (rows) => rows.length === 0);
});

test("it outlives a new sign-in of its own person, and none of another's", async () => {
  const phone = await stored();
  await phone.core.keepOwn({ timers: [] });
  const signIn = (person: typeof PERSON): Promise<void> => {
    phone.fetch = async (url) => (url.endsWith("/enrol") ? json(200, { token: "token-1", person, epoch: "epoch-1", server_time: "2026-11-25T08:00:00Z" }) : Promise.reject(new TypeError("offline")));
    return phone.core.enrol("ABCD2345");
  };
  await signIn(PERSON);
  assert.deepEqual(await kept(phone), [FORM]);
  for (const id of [NOBODY, "01111111-1111-7111-8111-111111111111"]) {
    await phone.core.keepUnsaved(PERSON.id, JOB, FORM.href, FORM);
    await signIn({ ...PERSON, id });
    assert.deepEqual(await kept(phone), []);
  }
  assert.equal((await phone.rows("kept")).length, 1, "the phone's own instruments went too");
});

test("it goes with the job that leaves the phone", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  const other = { ...FORM, href: jobHref(NOBODY, "note") };
  await phone.core.keepUnsaved(PERSON.id, JOB, FORM.href, FORM);
  await phone.core.keepUnsaved(PERSON.id, NOBODY, other.href, other);
  server.jobs = [];
  await phone.core.syncNow();
  assert.deepEqual(await phone.rows("jobs"), []);
  assert.deepEqual(await kept(phone), []);
  assert.deepEqual(await phone.core.unsaved(PERSON.id, NOBODY), [other]);
});
