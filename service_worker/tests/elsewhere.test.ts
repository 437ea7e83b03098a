/** What another visit to the address found unsafe: by its own events, less what anybody looked at later, told to the rules with every step. */
import assert from "node:assert/strict";
import { test } from "node:test";
import type { FoundElsewhere } from "../shell/generated/trade";
import type { EventEnvelope } from "../shell/core/schema";
import type { EngineAnswer, EngineQuestion } from "../shell/core/engine";
import { foundAt, foundElsewhere } from "../shell/core/elsewhere";
import { FakeServer, JOB, officeEvent, PERSON } from "./fake_server";
import { foldByIds, readyPhone, type Phone } from "./phone";
import { LOOK, offline } from "./steps";

const THEIRS = "55555555-5555-7555-8555-555555555555";
const THIRD = "66666666-6666-7666-8666-666666666666";
const AT = Date.parse("2026-11-25T07:30:00Z");

/** Stands in for the rules: "smell" is unsafe, "none" is a look that answers it. What is asked is noted. */
function listen(phone: Phone): EngineQuestion[] {
  const asked: EngineQuestion[] = [];
  phone.engine = (question): EngineAnswer => {
    asked.push(question);
    const { events = [], found = [] } = JSON.parse(question.args) as { events?: EventEnvelope[]; found?: FoundElsewhere[] };
    const answered = (outcome: string): EventEnvelope[] => events.filter(({ kind, body }) => kind === "check_answered" && body["outcome"] === outcome);
    const say = (ok: unknown): EngineAnswer => ({ id: question.id, text: JSON.stringify({ ok }), heap_bytes: 1_000_000 });
    if (question.name === "found_unsafe") return say(answered("smell").map(({ id, job_id, at_wall }) => ({ event_id: id, job_id, at_ms: Date.parse(at_wall) })));
    if (question.name === "not_seen_since") return say(answered("none").length > 0 ? [] : found);
    return foldByIds(question);
  };
  return asked;
}

const answer = (n: number, outcome: string, job: string, minute = 0): EventEnvelope =>
  ({ ...officeEvent(n, "check_answered", { check: "smell_of_gas", outcome, could_not: null }, job), at_wall: new Date(AT + minute * 60_000).toISOString() });

/** Somebody else is at the same address, and smelled gas. */
async function secondVisit(...more: EventEnvelope[]): Promise<{ server: FakeServer; phone: Phone; asked: EngineQuestion[] }> {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  const asked = listen(phone);
  server.store(officeEvent(10, "job_opened", { procedure_hash: "p1" }, THEIRS));
  server.store(answer(11, "smell", THEIRS));
  more.forEach((event) => server.store(event));
  await phone.core.syncNow();
  return { server, phone, asked };
}

const told = (asked: EngineQuestion[]): unknown => (JSON.parse(asked.filter(({ name }) => name === "step").at(-1)?.args ?? "{}") as { found?: { event_id: string }[] }).found?.map(({ event_id }) => event_id);
const asks = (asked: EngineQuestion[]): unknown => (JSON.parse(asked.filter(({ name }) => name === "step").at(-1)?.args ?? "{}") as { person_id?: string }).person_id;
const FOUND = officeEvent(11, "", {}, THEIRS).id;

test("it comes down with the address, and the rules are told of it at once and with every later act, also without signal", async () => {
  const { phone, asked } = await secondVisit();
  assert.deepEqual(told(asked), [FOUND]);
  assert.equal(asks(asked), PERSON.id); // what they found themselves nobody else lifts unread
  const { facts } = await phone.core.openJob(JOB);
  assert.deepEqual(facts.elsewhere?.map(({ event_id }) => event_id), [FOUND]);
  phone.fetch = offline;
  asked.length = 0;
  await phone.core.act(JOB, [LOOK]);
  assert.deepEqual(told(asked), [FOUND]);
  await phone.core.askOfJob(JOB, "close_states");
  assert.deepEqual((JSON.parse(asked.at(-1)?.args ?? "") as { found: unknown[] }).found.length, 1);
});

test("once the other visit is closed it is gone, and the job is advised anew", async () => {
  const { server, phone, asked } = await secondVisit();
  server.store(officeEvent(12, "job_closed", { state: "left_off" }, THEIRS));
  asked.length = 0;
  await phone.core.syncNow();
  assert.deepEqual(told(asked), []);
  assert.deepEqual((await phone.core.openJob(JOB)).facts.elsewhere, []);
});

test("a third visit's later look answers it; of one that was there before nothing is asked", async () => {
  const later = await secondVisit(officeEvent(13, "job_opened", { procedure_hash: "p1" }, THIRD), answer(14, "none", THIRD, 10));
  assert.deepEqual((await later.phone.core.openJob(JOB)).facts.elsewhere, []);
  const before = await secondVisit({ ...officeEvent(13, "job_opened", { procedure_hash: "p1" }, THIRD), at_wall: new Date(AT - 1).toISOString() });
  const since = before.asked.filter(({ name }) => name === "not_seen_since").map(({ args }) => (JSON.parse(args) as { events: EventEnvelope[] }).events[0]?.job_id);
  assert.equal(since.includes(THIRD), false);
  assert.deepEqual(told(before.asked), [FOUND]);
});

test("what stops a visit comes first, whenever it was found", async () => {
  const { server, phone } = await secondVisit();
  const engine = phone.engine;
  const lines = [{ event_id: "nest", job_id: THEIRS, at_ms: AT - 1, stop_words: null }, { event_id: "smell", job_id: THEIRS, at_ms: AT, stop_words: "Out." }];
  phone.engine = (question) => (question.name === "found_unsafe" ? { id: question.id, text: JSON.stringify({ ok: lines }), heap_bytes: 1 } : engine(question));
  server.store(officeEvent(12, "note", { words: "x" }, THEIRS));
  await phone.core.syncNow();
  assert.deepEqual((await phone.core.openJob(JOB)).facts.elsewhere?.map(({ event_id }) => event_id), ["smell", "nest"]);
});

test("a visit that nobody began costs the rules no question", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  const asked = listen(phone);
  server.store(officeEvent(10, "job_booked", {}, THEIRS));
  await phone.core.syncNow();
  assert.deepEqual(asked.filter(({ name }) => name === "found_unsafe"), []);
});

test("what a phone whose clock runs ahead found is not later than the server had it", async () => {
  const server = new FakeServer();
  const phone = await readyPhone(server);
  listen(phone);
  server.store(officeEvent(10, "job_opened", { procedure_hash: "p1" }, THEIRS));
  server.store(answer(11, "smell", THEIRS, 9 * 60));
  await phone.core.syncNow();
  assert.deepEqual((await phone.core.openJob(JOB)).facts.elsewhere?.map(({ at_ms }) => at_ms), [server.nowMs]);
});

test("where the rules do not answer for it, what was known stays, and this job is folded all the same", async () => {
  const { server, phone } = await secondVisit();
  const engine = phone.engine;
  phone.engine = (question) => (question.name === "found_unsafe" ? { id: question.id, text: JSON.stringify({ error: { code: "internal", message: "" } }), heap_bytes: 1 } : engine(question));
  server.store(officeEvent(12, "note", { words: "still there" }, JOB));
  await phone.core.syncNow();
  const { facts, record } = await phone.core.openJob(JOB);
  assert.deepEqual(facts.elsewhere?.map(({ event_id }) => event_id), [FOUND]);
  assert.equal((record as unknown as { ids: string[] }).ids.length, 2);
});

test("of two that stop a visit the older comes first, and what the rules left of them is what is said", async () => {
  const line = (event_id: string, at_ms: number) => ({ event_id, at_ms, stop_words: "out" }) as unknown as FoundElsewhere;
  const begun = { ...officeEvent(1, "job_opened", { procedure_hash: "p1" }, THEIRS) };
  const address = { others: new Map([["a", [begun]], ["b", [begun]]]), knownMs: new Map<string, number>() };
  const asked = [line("early", 8e12), line("late", 9e12)];
  const found = await foundAt(address, (_events, name, more) => Promise.resolve((name === "found_unsafe" ? [asked.pop()] : (more as { found: unknown }).found) as never));
  assert.deepEqual(found.map(({ event_id }) => event_id), ["early", "late"]);
  const [late, early] = [[line("late", 9)], [line("early", 8)]];
  const told = (advised: object | null) => foundElsewhere({ advice: advised, facts: { elsewhere: early } } as unknown as Parameters<typeof foundElsewhere>[0]);
  assert.deepEqual([told({ elsewhere: late }), told({}), told(null)], [late, early, early]);
});
