/** Words, addresses and the number pad: what can be said without a browser. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { pressed, beyondAnyMeter, rangeWarning, valueOf } from "../shell/components/number_pad";
import type { JobView, QueueLine } from "../shell/core_types";
import type { Mark } from "../shell/generated/trade";
import { jobHref, parentHref, parseRoute } from "../shell/router";
import { wayOf } from "../shell/screens/answered_anew";
import { saysNothing } from "../shell/screens/close";
import { shownCode, tidyCode } from "../shell/screens/sign_in";
import { tooSoonWords } from "../shell/screens/proof_time";
import { standsOffWords } from "../shell/screens/stands_off";
import { sentences } from "../shell/screens/stop";
import { overdueStrips } from "../shell/screens/visit_more";
import { endScreen } from "../shell/screens/walk_end";
import type { Stage } from "../shell/screens/screen";
import { clockWords, dayWords, inHundred, numberWords, plainName, queueWords, readingWords, TROUBLE, unitOf } from "../shell/words";

const QUIET: QueueLine = { waiting: 0, refused: [], parked: 0, waiting_since: null, sent_at: null, photos_waiting: 0, trouble: null };

/** What a screen's template says and is made of. */
function written(part: unknown): string {
  if (Array.isArray(part)) return part.map(written).join("");
  const template = part as { strings?: readonly string[]; values?: readonly unknown[] } | null;
  return template?.strings ? template.strings.map((one, at) => one + written(template.values?.[at])).join("") : typeof part === "string" ? part : "";
}

test("a chance is said in fives, never as nothing and never as certain", () => {
  for (let p = 0; p <= 1; p += 0.001) {
    const words = inHundred(p);
    const figure = Number(/\d+/.exec(words)?.[0]);
    assert.equal(figure % 5, 0);
    assert.ok(figure >= 5 && figure <= 95, words);
    if (words.startsWith("about")) assert.ok(Math.abs(figure - p * 100) <= 2.5 + 1e-9, `${p}: ${words}`);
  }
  assert.equal(inHundred(0.011), "fewer than 5 in 100");
  assert.equal(inHundred(0.31), "about 30 in 100");
  assert.equal(inHundred(0.999), "more than 95 in 100");
});

test("a hot run noted too soon is told in the words of the rules", () => {
  const words = (since: "repair" | "arrival", minutes: number): string => tooSoonWords({ too_soon: { since, minutes }, minutes: 10 } as Parameters<typeof tooSoonWords>[0]);
  assert.equal(words("repair", 2.7), "Noted 2 min after the repair: 10 minutes cannot have passed."); // tests/trade/test_run_time.py has the same two
  assert.equal(words("arrival", 0.3), "Noted less than a minute after the visit began: 10 minutes cannot have passed.");
  assert.equal(tooSoonWords({ minutes: 10 } as Parameters<typeof tooSoonWords>[0]), ""); // an older shell's record
});

test("a quantity's unit is read from its name", () => {
  const units: [string, string][] = [["suction_in_wc", "in. w.c."], ["limit_ohm", "Ω"], ["co_room_ppm", "ppm"], ["nominal_in", "in."], ["straight_ft", "ft"], ["flame_ua", "µA"], ["minutes_since_fired", "min"]];
  for (const [quantity, unit] of units) assert.equal(unitOf(quantity), unit, quantity);
  assert.equal(plainName("suction_in_wc"), "suction");
  assert.equal(readingWords(-0.36, "suction_in_wc"), "−0.36 in. w.c.");
});

test("a reading is shown as it was typed, with a real minus", () => {
  assert.equal(numberWords(0.1 + 0.2), "0.30000000000000004");
  assert.equal(numberWords(-3), "−3");
});

test("today is a clock, before is a day and a clock, and nonsense is said to be unknown", () => {
  const now = new Date(2026, 10, 25, 15, 0);
  assert.equal(clockWords(new Date(2026, 10, 25, 9, 5).toISOString(), now), "09:05");
  assert.equal(clockWords(new Date(2026, 10, 24, 9, 5).toISOString(), now), "24 Nov 2026, 09:05");
  assert.equal(clockWords("yesterday", now), "time not known");
  assert.equal(dayWords(null), "day not known");
});

test("the queue line says what waits, since when, or when all was sent", () => {
  const at = new Date();
  at.setHours(14, 5, 0, 0);
  const iso = at.toISOString();
  assert.equal(queueWords({ ...QUIET, waiting: 3, waiting_since: iso }), "3 waiting since 14:05");
  assert.equal(queueWords({ ...QUIET, waiting: 3, photos_waiting: 1, waiting_since: iso, trouble: "offline" }), "4 waiting since 14:05");
  assert.equal(queueWords({ ...QUIET, sent_at: iso }), "all sent 14:05");
  assert.equal(queueWords({ ...QUIET, waiting: 3, trouble: "revoked" }), TROUBLE.revoked.short);
  assert.equal(queueWords(QUIET), "nothing waiting");
});

test("every trouble says what is safe and what to do", () => {
  for (const [name, { safe, do: todo }] of Object.entries(TROUBLE)) {
    assert.ok(/saved/i.test(safe), name);
    assert.ok(todo.length > 10, name);
  }
});

test("any address is a screen or unknown, and never a fault", () => {
  assert.deepEqual(parseRoute(""), { name: "jobs" });
  assert.deepEqual(parseRoute("#/job/a1/check/limit"), { name: "check", job: "a1", arg: "limit" });
  assert.deepEqual(parseRoute(jobHref("a1", "check", "limit", ["checks", "vent"])), { name: "check", job: "a1", arg: "limit", from: ["checks", "vent"] });
  assert.equal(parentHref(parseRoute(jobHref("a1", "check", "limit", ["checks", "vent"]))), "#/job/a1/checks/vent");
  assert.equal(parentHref(parseRoute("#/job/a1/check/limit/elsewhere")), "#/job/a1/walk");
  assert.deepEqual(parseRoute("#/job/a1"), { name: "home", job: "a1", arg: null });
  for (const odd of ["#/job", "#/job//walk", "#/job/a/elsewhere", "#/%E0%A4%A", "#/constructor", "#/job/a/__proto__"]) assert.deepEqual(parseRoute(odd), { name: "unknown" }, odd);
});

test("an address made is read back as it was meant", () => {
  assert.deepEqual(parseRoute(jobHref("a/b c", "check", "ä#?")), { name: "check", job: "a/b c", arg: "ä#?" });
});

test("back leads up the house from everywhere and ends at the jobs", () => {
  for (const start of ["#/job/a/check/x", "#/job/a/close/left_off", "#/job/a/hunch", "#/phone", "#/nowhere", "#/job/a/checks/terminal"]) {
    let href: string | null = start;
    for (let steps = 0; href !== null && href !== "#/jobs"; steps++) {
      assert.ok(steps < 5, start);
      href = parentHref(parseRoute(href));
    }
    assert.equal(href, "#/jobs", start);
  }
});

test("the pad builds the number that the keys say, one point and one sign at most", () => {
  const typed = (keys: string[]): string => keys.reduce(pressed, "");
  assert.equal(valueOf(typed(["0", ".", "3", "6"])), 0.36);
  assert.equal(valueOf(typed([".", "5", "."])), 0.5);
  assert.equal(valueOf(typed(["sign", "1", "2", "sign"])), 12);
  assert.equal(valueOf(typed(["sign", "0", ".", "4"])), -0.4);
  assert.equal(valueOf(typed(["0", "0", "7"])), 7);
  assert.equal(typed(["1", "rub", "rub"]), "");
  assert.equal(typed(["sign", "1", "rub"]), "");
  assert.equal(valueOf(typed([])), null);
  assert.equal(valueOf(typed(["sign"])), null);
  assert.ok(Object.is(valueOf(typed(["sign", "0"])), 0), "no minus nought");
  assert.equal(typed([..."12345678901234"]), "123456789");
});

test("a figure out of range is asked about, and stays as it is", () => {
  assert.equal(rangeWarning(0.36, -6, 6, "in. w.c."), null);
  assert.ok(/Outside −6 to 6 in\. w\.c\./.test(rangeWarning(36, -6, 6, "in. w.c.") ?? ""));
  assert.equal(rangeWarning(6, -6, 6, ""), null);
  assert.equal(rangeWarning(null, 0, 1, ""), null);
});

test("a figure with more digits than the widest reading is no reading of any meter", () => {
  assert.ok(/No meter shows this: 10000 ppm is the most/.test(beyondAnyMeter(999999999, 0, 10000, "ppm") ?? ""));
  assert.equal(beyondAnyMeter(99999, 0, 10000, "ppm"), null, "out of range is warned of and kept");
  assert.ok(beyondAnyMeter(-36, -6, 6, "in. w.c.") !== null);
  assert.equal(beyondAnyMeter(-0.123456, -6, 6, "in. w.c."), null);
  assert.equal(beyondAnyMeter(123456789, null, null, "V AC"), null);
  assert.equal(beyondAnyMeter(null, 0, 1, ""), null);
});

test("a code is read with spaces, dashes and small letters, and shown in two halves", () => {
  assert.equal(tidyCode(" ad4q-x4yt "), "AD4QX4YT");
  assert.equal(tidyCode("ad4q x4yt zz"), "AD4QX4YT");
  assert.equal(shownCode("AD4QX4YT"), "AD4Q X4YT");
  assert.equal(shownCode("AD4"), "AD4");
});

test("a stop says one thing to do a line", () => {
  assert.deepEqual(sentences("Out now. No switches! Call from outside."), ["Out now.", "No switches!", "Call from outside."]);
});

test("what stands there after a heater was replaced is told in words that name it", () => {
  for (const words of ["", "x", "new", "done    ", "replaced"]) assert.equal(saysNothing("replaced", words.trim()), true, words);
  assert.equal(saysNothing("replaced", "Power vent, 50 gallon"), false);
  assert.equal(saysNothing("waiting_part", "x"), false);
});

test("half a number of what was left off is never read: its ppm stand before what a narrow line cuts off", () => {
  const words = (why_words: string): string => {
    const by = { event_id: "e1", at_wall: "2026-11-09T08:00:00Z" };
    const record = { left_off: [{ what_words: "The heater", why_words, by }], standing_off: ["e1"], put_back: [] };
    return standsOffWords({ record, facts: {}, card: { state: "open" }, advice: null } as unknown as JobView, false).replace(/ \d+ \w+ \d+/, "");
  };
  assert.ok(/^Left off[^:]*, 84 ppm: CO in the room: Leave now$/.test(words("CO in the room: Leave now, 84 ppm")));
  assert.ok(/^Left off[^,]*: Gas smell$/.test(words("Gas smell")));
});

test("nobody leaves a heater off for a wrong tap: what hung on an unsafe word since makes a new answer a second look", () => {
  const by = { event_id: "e1", at_wall: new Date().toISOString(), lamport: 3 } as Mark;
  const way = (left: number[]): string => wayOf({ record: { left_off: left.map((lamport) => ({ by: { lamport } })), repairs: [], photos: [] } } as unknown as JobView, by);
  assert.deepEqual([way([]), way([2]), way([4])], ["wrong", "wrong", "looked"]);
});

test("whoever is overdue at one address is told of it on every screen of the next one", () => {
  const card = (job_id: string, minutes: number, handed_to: string | null = null): object => ({ job_id, street: `${job_id} Kiln Row`, handed_to, due_out_wall: new Date(Date.now() + minutes * 60_000).toISOString() });
  const jobs = { value: [card("1", -12.5), card("2", -5), card("3", 9), card("4", -3, "Ugo Brandt")] };
  const said = written(overdueStrips({ core: { jobs } } as unknown as Stage, { card: { job_id: "2" } } as unknown as JobView));
  assert.deepEqual(said.match(/Out of \d Kiln Row\?<\/strong> overdue \d+ min/g), ["Out of 1 Kiln Row?</strong> overdue 12 min"]);
});

test("while something unsafe stands, the end of the walk leads to leaving it off before it names a cause", () => {
  const record = { heater_off: false, causes: [], repairs: [], proofs: [], closed: null, checks: [] };
  const danger = [{ check: "drop_out", words: "Drop-out: Too slow, 300 s", stops: false, by: null }];
  const page = (off: boolean): string => written(endScreen({ card: { job_id: "j" }, record: { ...record, heater_off: off }, danger, procedure: null } as unknown as JobView, "ready").body);
  assert.ok(page(false).includes("Unsafe. Drop-out: Too slow, 300 s."));
  assert.ok(page(false).indexOf("data-leave-off") < page(false).indexOf("Name the cause"));
  assert.equal(page(true).includes("data-leave-off"), false);
});

test("where all that was answered is good no cause is led to, and one bad answer is enough to lead there", () => {
  const answer = (outcome: string, current = true) => ({ outcome, could_not: null, current });
  const outcomes = [{ id: "good", words: "Good", verdict: "good" }, { id: "bad", words: "Bad", verdict: "bad" }];
  const page = (...entries: object[]): string => {
    const record = { heater_off: false, causes: [], repairs: [], proofs: [], closed: null, checks: [{ check: "tube", entries }] };
    return written(endScreen({ card: { job_id: "j" }, record, danger: [], procedure: { checks: [{ id: "tube", outcomes }] } } as unknown as JobView, "ready").body);
  };
  const fine = page(answer("bad", false), answer("good"));
  assert.ok(fine.indexOf("data-not-seen") > 0 && fine.indexOf("data-not-seen") < fine.indexOf("Name the cause all the same"));
  assert.equal(page(answer("good"), answer("bad")).includes("data-not-seen"), false);
});
