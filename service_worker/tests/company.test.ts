/** The company's data: kept on the phone, believed only in its own shape; and what the phone keeps for itself. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { alarmsAt } from "../shell/core/alarms";
import type { EventEnvelope } from "../shell/core/schema";
import { FakeServer, JOB, PERSON, SITE, json, officeEvent } from "./fake_server";
import { readyPhone } from "./phone";
import { offline, until } from "./steps";

const SHEET = {
  model_sheet_id: "55555555-5555-7555-8555-555555555555", procedure_name: "power_vent", maker_words: "Halvorsen & Pike", model_words: "Cellar 50 PV",
  limits: [{ quantity: "make_point_in_wc", value: 0.36, where: "page 12" }, { quantity: "limit_ft", value: "sixty", where: null }],
  codes: [{ flash_groups: "2-4", text: null, meaning_words: "Limit open", could_be: ["limit", 7] }], vent: [{ nominal_in: 3, max_equivalent_ft: 60, min_equivalent_ft: null, max_elbows: 5, feet_per_elbow_90: 5, feet_per_elbow_45: null }, { max_elbows: 4 }], words: "",
};
const COMPANY = { settings: { co_ladder: "bpi_1200", office_phone: "555-0100" }, person: { licence_words: "Gas 2", licence_expires_on: "2027-03-31" }, model_sheets: [SHEET, "junk"] };

async function companyPhone(): Promise<{ server: FakeServer; phone: Awaited<ReturnType<typeof readyPhone>> }> {
  const server = new FakeServer();
  server.company = COMPANY;
  const phone = await readyPhone(server);
  await phone.core.syncNow();
  return { server, phone };
}

const companyStep = (phone: Awaited<ReturnType<typeof readyPhone>>): boolean | undefined =>
  phone.core.readiness.value.steps.find(({ id }) => id === "company")?.done;

test("the company's data come down with the round, outlive a restart without signal, and count for the basement", async () => {
  const { phone } = await companyPhone();
  assert.equal(companyStep(phone), true);
  phone.fetch = offline;
  await phone.restart();
  phone.fire(60_000);
  await until(() => phone.core.company.value !== null);
  assert.equal(phone.core.company.value?.settings.office_phone, "555-0100");
  assert.deepEqual(phone.core.company.value?.model_sheets[0]?.limits, [{ quantity: "make_point_in_wc", value: 0.36, where: "page 12" }]);
  assert.deepEqual(phone.core.company.value?.model_sheets[0]?.codes[0]?.could_be, ["limit"]);
  assert.deepEqual(phone.core.company.value?.model_sheets[0]?.vent, [{ nominal_in: 3, figures: { limit_ft: 60, limit_elbows: 5, feet_per_90: 5 } }]);
  assert.equal(phone.core.company.value?.model_sheets.length, 1);
});

test("a server that keeps no such data does not keep the phone out of the basement", async () => {
  const phone = await readyPhone(new FakeServer());
  await phone.core.syncNow();
  assert.equal(companyStep(phone), true);
  assert.equal(phone.core.company.value, null);
});

test("trouble with the company's data neither loses what is here nor stops the jobs", async () => {
  const { server, phone } = await companyPhone();
  server.fault = async (call, answer) => (call.path === "company" ? json(200, { settings: "none" }) : answer());
  server.store(officeEvent(9, "note", { words: "gate code 12" }, JOB));
  await phone.core.syncNow();
  assert.equal(phone.core.company.value?.settings.co_ladder, "bpi_1200");
  assert.equal((await phone.rows("events")).length, 3);
});

test("another person's sign-in forgets the licence of the last one", async () => {
  const { phone } = await companyPhone();
  phone.fetch = async (url) => (url.endsWith("/enrol") ? json(200, { token: "token-1", person: PERSON, epoch: "epoch-1", server_time: "2026-11-25T08:00:00Z" }) : offline());
  await phone.core.enrol("ABCD2345");
  assert.deepEqual(await phone.rows("kept"), []);
});

test("instruments and timers stay on the phone over a restart, and are never sent", async () => {
  const { server, phone } = await companyPhone();
  const meter = { instrument_id: "66666666-6666-4666-8666-666666666666", instrument_kind: "co_meter" as const, serial_words: "C-1187", calibrated_on: "2026-08-01", last: null };
  await phone.core.keepOwn({ instruments: [meter] });
  await phone.core.keepOwn({ timers: [{ job_id: JOB, words: "gas clears", due_wall: "2026-11-25T08:05:00Z" }] });
  await phone.restart();
  phone.fire(60_000);
  await until(() => phone.core.own.value.timers.length > 0);
  assert.deepEqual(phone.core.own.value.instruments, [meter]);
  assert.equal(phone.core.own.value.timers.length, 1);
  assert.equal((await phone.rows("outbox")).length, 0);
  assert.equal(server.all().size, 2);
});

test("what was left off at an earlier visit stands with the address until it is put back", async () => {
  const server = new FakeServer();
  const earlier = "77777777-7777-7777-8777-777777777777";
  const before = (event: ReturnType<typeof officeEvent>): typeof event => ({ ...event, at_wall: "2026-11-03T09:00:00Z" });
  server.store(before(officeEvent(10, "job_booked", { complaint: "no_hot_water", complaint_words: "cold", technician_id: PERSON.id, procedure_name: "power_vent" }, earlier)));
  server.store(before(officeEvent(11, "left_off", { what_words: "The heater", why_words: "CO", told_words: "The customer" }, earlier)));
  server.store(before(officeEvent(12, "appliance_described", { appliance_id: SITE, kind: "power_vent", maker_words: "Halvorsen & Pike" }, null)));
  const phone = await readyPhone(server);
  const view = await phone.core.openJob(JOB);
  assert.deepEqual(view.facts.left_off.map(({ wall, what_words }) => [wall, what_words]), [["2026-11-03T09:00:00Z", "The heater"]]);
  const described = await phone.core.act(JOB, [{ kind: "appliance_described", schema: 2, body: { appliance_id: SITE, kind: "power_vent", model_words: "Cellar 50 PV" }, job: null }]);
  assert.deepEqual(described.view.facts.heaters.map(({ maker_words, model_words }) => [maker_words, model_words]), [["Halvorsen & Pike", "Cellar 50 PV"]]);
  const dayAhead = { at_wall: "2026-11-04T08:00:00Z", clock_offset: -24 * 3_600_000 }; // an hour before it was left off, in truth
  server.store({ ...officeEvent(14, "put_back", { words: "the one before" }, earlier), ...dayAhead });
  await phone.core.syncNow();
  assert.equal(phone.core.view.value?.facts.left_off.length, 1);
  server.store({ ...officeEvent(13, "put_back", { words: "new limit, hot run held" }, earlier), at_wall: "2026-11-09T09:00:00Z" });
  await phone.core.syncNow();
  assert.deepEqual(phone.core.view.value?.facts.left_off, []);
});

test("what stands off since an earlier visit is told to the rules, with the heaters of that visit, and anew when that changes", async () => {
  const server = new FakeServer();
  const earlier = "00000000-0000-7000-8000-0000000000ee";
  server.store(officeEvent(30, "job_booked", { complaint: "no_hot_water", complaint_words: "cold", technician_id: PERSON.id, procedure_name: "power_vent" }, earlier));
  server.store(officeEvent(31, "appliance_described", { appliance_id: SITE, kind: "power_vent" }, earlier));
  server.store(officeEvent(32, "job_closed", { state: "left_off", words: "CO in the flue" }, earlier)); // without an entry of its own the close is one
  const phone = await readyPhone(server);
  const told: unknown[] = [];
  const engine = phone.engine;
  phone.engine = (question) => {
    const asked = JSON.parse(question.args) as { events?: { job_id: string }[]; off_before?: { what_words: string; why_words: string; appliance_ids: string[] }[] };
    if (asked.events?.[0]?.job_id === JOB) told.push(asked.off_before?.map((one) => [one.what_words, one.why_words, one.appliance_ids]));
    return engine(question);
  };
  await phone.core.openJob(JOB);
  await phone.core.act(JOB, [{ kind: "note", body: { words: "tag found on it" } }]);
  await phone.core.askOfJob(JOB, "close_states");
  assert.deepEqual(told, [[["the heater", "CO in the flue", [SITE]]], [["the heater", "CO in the flue", [SITE]]]]);
  server.store({ ...officeEvent(33, "put_back", { words: "proved" }, earlier), at_wall: "2026-12-01T09:00:00Z" });
  await phone.core.syncNow();
  assert.deepEqual(told.at(-1), []);
  server.store({ ...officeEvent(34, "left_off", { what_words: "anew", why_words: "soot", told_words: "nobody" }, earlier), at_wall: "2026-12-03T09:00:00Z" });
  server.store({ ...officeEvent(35, "put_back", { words: "before that, without a name" }, JOB), at_wall: "2026-12-02T09:00:00Z" });
  await phone.core.syncNow();
  assert.deepEqual(told.at(-1), [["anew", "soot", [SITE]]]);
  server.store({ ...officeEvent(36, "put_back", { words: "after it, without a name" }, JOB), at_wall: "2026-12-04T09:00:00Z" });
  await phone.core.syncNow();
  assert.deepEqual(told.at(-1), []);
});

test("where only the close leaves it off, its visit's last entry says what, and why", async () => {
  const server = new FakeServer();
  const earlier = "00000000-0000-7000-8000-0000000000ed";
  server.store(officeEvent(60, "job_booked", { complaint: "no_hot_water", complaint_words: "cold", technician_id: PERSON.id, procedure_name: "power_vent" }, earlier));
  const left = officeEvent(61, "left_off", { what_words: "The heater", why_words: "CO in the room 40 ppm", told_words: "The customer" }, earlier);
  server.store(left);
  server.store({ ...officeEvent(62, "put_back", { words: "ok", left_off_ids: [left.id] }, earlier), schema: 2 });
  server.store({ ...officeEvent(63, "job_closed", { state: "left_off" }, earlier), lamport: left.lamport + 10 });
  const phone = await readyPhone(server);
  await phone.core.openJob(JOB);
  assert.deepEqual(phone.core.view.value?.facts.left_off.map(({ what_words, why_words }) => [what_words, why_words]), [["The heater", "CO in the room 40 ppm"]]);
});

test("a heater that another phone put back on a word alone stands off here too, and so it does where the rules cannot be asked", async () => {
  const server = new FakeServer();
  const earlier = "00000000-0000-7000-8000-0000000000ec";
  server.store(officeEvent(50, "job_booked", { complaint: "no_hot_water", complaint_words: "cold", technician_id: PERSON.id, procedure_name: "power_vent" }, earlier));
  const left = officeEvent(51, "left_off", { what_words: "The heater", why_words: "CO", told_words: "The customer" }, earlier);
  server.store(left);
  server.store({ ...officeEvent(55, "job_closed", { state: "left_off" }, earlier), lamport: left.lamport }); // the close is no entry of its own: one stood
  const phone = await readyPhone(server);
  const engine = phone.engine;
  let away = false;
  phone.engine = (question) => {
    const { events = [] } = JSON.parse(question.args) as { events?: { id: string; kind: string; body: { words?: string } }[] };
    if (question.name !== "fold_job") return engine(question);
    if (away) return { id: question.id, text: JSON.stringify({ error: { code: "bad_arguments", message: "away" } }), heap_bytes: 1 };
    const put_back = events.flatMap(({ id, kind, body }) => (kind === "put_back" ? [{ by: { event_id: id }, counts: body.words !== "ok" }] : []));
    return { id: question.id, text: JSON.stringify({ ok: { put_back } }), heap_bytes: 1 };
  };
  await phone.core.openJob(JOB);
  const off = () => phone.core.view.value?.facts.left_off.length;
  const back = (number: number, words: string) => ({ ...officeEvent(number, "put_back", { words, left_off_ids: [left.id] }, earlier), schema: 2 });
  server.store(back(52, "ok"));
  await phone.core.syncNow();
  assert.equal(off(), 1);
  away = true;
  server.store(back(53, "hot run held"));
  await phone.core.syncNow();
  assert.equal(off(), 1);
  away = false;
  server.store(officeEvent(54, "note", { words: "x" }, earlier));
  await phone.core.syncNow();
  assert.equal(off(), 0);
});

test("of two heaters left off at an earlier visit one is put back by its name, whatever the clocks say", async () => {
  const server = new FakeServer();
  const earlier = "00000000-0000-7000-8000-0000000000ed";
  server.store(officeEvent(19, "job_booked", { complaint: "no_hot_water", complaint_words: "cold", technician_id: PERSON.id, procedure_name: "power_vent" }, earlier));
  const left = (number: number, what_words: string) => officeEvent(number, "left_off", { what_words, why_words: "CO", told_words: "The customer" }, earlier);
  const three = [left(20, "left"), left(21, "middle"), left(22, "right")];
  for (const one of three) server.store(one);
  const phone = await readyPhone(server);
  await phone.core.openJob(JOB);
  const off = () => phone.core.view.value?.facts.left_off.map(({ what_words }) => what_words);
  assert.deepEqual(off(), ["left", "middle", "right"]);
  server.store({ ...officeEvent(23, "put_back", { words: "proved", left_off_ids: [three[0]!.id] }, earlier), schema: 2, at_wall: "2020-01-01T09:00:00Z" });
  await phone.core.syncNow();
  assert.deepEqual(off(), ["middle", "right"]);
});

test("another open call from the address comes down with its alarm, and goes with its job", async () => {
  const server = new FakeServer();
  const theirs = "00000000-0000-7000-8000-0000000000ca";
  server.store(officeEvent(60, "job_booked", { complaint: "no_hot_water", complaint_words: "gas", technician_id: null, procedure_name: "power_vent" }, theirs));
  server.store(officeEvent(61, "call_taken", { smell_of_gas: "yes", co_alarm: "no", unwell: "unsure", water_leak: "no", lately: [], said: [] }, theirs));
  const phone = await readyPhone(server);
  const { facts } = await phone.core.openJob(JOB);
  assert.deepEqual(facts.calls?.map(({ words, asked, said }) => [words, asked, said]), [["smell of gas, somebody unwell (not sure)", ["smell_of_gas", "symptoms"], "gas"]]);
  server.store(officeEvent(62, "job_closed", { state: "handed_over" }, theirs));
  await phone.core.syncNow();
  assert.deepEqual(phone.core.view.value?.facts.calls, []);
});

test("of two who heard one call the later one's word is what has to be looked into since", () => {
  const heard = (n: number, person_id: string, at_wall: string, smell_of_gas: string) => ({ ...officeEvent(n, "call_taken", { smell_of_gas }, JOB), person_id, at_wall, clock_offset: 0 });
  const said = (...own: EventEnvelope[]) => alarmsAt({ own, others: new Map() });
  const [one] = said(heard(1, "dora", "2026-11-25T08:00:00Z", "no"), heard(2, "bo", "2026-11-25T08:10:00Z", "yes"), heard(3, "dora", "2026-11-25T09:00:00Z", "unsure"));
  assert.deepEqual([one?.wall, one?.words], ["2026-11-25T09:00:00Z", "smell of gas"]);
  assert.deepEqual(said(heard(1, "dora", "2026-11-25T08:00:00Z", "yes"), heard(2, "dora", "2026-11-25T08:10:00Z", "no")), []); // her last word
  assert.deepEqual(said(heard(1, "dora", "2026-11-25T08:00:00Z", "yes"), officeEvent(2, "job_cancelled", { why: "x" }, JOB)), []);
  const undone = { ...officeEvent(2, "withdrawn", {}, JOB), person_id: "dora", replaces: [heard(1, "dora", "2026-11-25T08:00:00Z", "yes").id] };
  assert.deepEqual(said(heard(1, "dora", "2026-11-25T08:00:00Z", "yes"), undone), []);
});
