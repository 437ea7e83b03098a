/** What must be read of a job before anything else, case by case: which answers of a check, with which figure, and whose stop is not said twice. */
import assert from "node:assert/strict";
import { test } from "node:test";
import type { Procedure, Record_, WalkAdvice } from "../shell/core_types";
import { dangerOf } from "../shell/core/danger";

const OUT = "Everybody out.";
const outcome = (id: string, words: string, stop_words: string | null = null) => ({ id, words, stop_words });
const field = (quantity: string, optional = false) => ({ quantity, optional });
const PROCEDURE = { checks: [
  { id: "fan", title: "Blower", readings: [field("amps"), field("volts")], outcomes: [outcome("slow", "Slow")] },
  { id: "co_room", title: "CO in the room", readings: [field("co_room_ppm"), field("o2_percent", true)], outcomes: [outcome("raised", "Raised"), outcome("leave", "Leave now", OUT)] },
  { id: "smell_of_gas", title: "Smell of gas", readings: [], outcomes: [outcome("smell", "Smell of gas", OUT)] },
] } as unknown as Procedure;
const by = (lamport: number, person_id = "ann") => ({ event_id: `e${lamport}`, person_id, lamport, at_wall: "2026-11-25T08:00:00Z" });
const ppm = (value: number, lamport: number, person_id = "ann", check = "co_room", quantity = "co_room_ppm") => ({ check, quantity, value, by: by(lamport, person_id) });
const said = (check: string, ...given: [outcome: string, lamport: number, current?: boolean][]) => ({ check, entries: given.map(([id, lamport, current = true]) => ({ outcome: id, current, by: by(lamport) })) });

type Told = { gate?: object; unsafe?: string[]; elsewhere?: object[]; checks?: object[]; readings?: object[]; proofs?: object[] };
function told({ gate = { state: "passed" }, unsafe = [], elsewhere = [], checks = [], readings = [], proofs = [] }: Told): string[] {
  const found = dangerOf(PROCEDURE, { checks, readings, proofs } as unknown as Record_, { gate, unsafe, elsewhere } as unknown as WalkAdvice);
  return found.map(({ words, stops, by: who }) => `${stops ? "stop" : "unsafe"} ${words} ${who?.event_id ?? "-"}`);
}
const stopped = (next_check: string) => ({ state: "stopped", next_check, stop_words: OUT });
const LEAVE = "CO in the room: Leave now";

test("a stop is said though nothing is marked unsafe, and what is unsafe though nothing stops; a stop first", () => {
  assert.deepEqual(told({}), []);
  assert.deepEqual(told({ gate: stopped("smell_of_gas"), checks: [said("smell_of_gas", ["smell", 3])] }), ["stop Smell of gas e3"]); // where both have one name it is said once
  assert.deepEqual(told({ unsafe: ["Blower: Slow"] }), ["unsafe Blower: Slow -"]);
  assert.deepEqual(told({ unsafe: ["Blower: Slow", LEAVE], gate: stopped("co_room") }), [`stop ${LEAVE} -`, "unsafe Blower: Slow -"]);
});

test("another visit's stop is said as that, and this one's beside it where it is of another check", () => {
  assert.deepEqual(told({ gate: stopped("co_room"), elsewhere: [{ look: "co_room", stop_words: OUT }] }), []);
  assert.deepEqual(told({ gate: stopped("co_room"), elsewhere: [{ look: "smell_of_gas", stop_words: OUT }] }), [`stop ${LEAVE} -`]);
});

test("the figure is the one that was read when it was answered, by the check that asks for it", () => {
  const ask = (readings: object[], more: Told = {}) => told({ unsafe: [LEAVE], checks: [said("co_room", ["leave", 5], ["leave", 6, false], ["raised", 7])], readings, ...more });
  assert.deepEqual(ask([ppm(90, 4)]), [`stop ${LEAVE}, 90 ppm e5`]);
  assert.deepEqual(ask([ppm(90, 5, "bo")]), [`stop ${LEAVE}, 90 ppm e5`]); // on another phone, at the same step
  assert.deepEqual(ask([ppm(2, 6)]), [`stop ${LEAVE} e5`]); // read after it
  assert.deepEqual(ask([ppm(80, 3), ppm(90, 1)]), [`stop ${LEAVE}, 80 ppm e5`]); // the last, in whatever order they came
  assert.deepEqual(ask([ppm(90, 4, "ann", "elsewhere"), ppm(21, 4, "ann", "co_room", "o2_percent")]), [`stop ${LEAVE} e5`]);
  assert.deepEqual(ask([], { proofs: [{ co_room_ppm: null, by: by(3) }, { co_room_ppm: 75, by: by(2) }] }), [`stop ${LEAVE}, 75 ppm e5`]);
  assert.deepEqual(told({ unsafe: ["Blower: Slow"], readings: [ppm(3, 1, "ann", "fan", "amps")] }), ["unsafe Blower: Slow -"]); // one of two says little
});

test("where nobody answered it is the worst of what each person read last", () => {
  const readings = [ppm(95, 1), ppm(40, 3), ppm(75, 2, "bo")];
  assert.deepEqual(told({ unsafe: [LEAVE], readings }), [`stop ${LEAVE}, 75 ppm e2`]);
});
