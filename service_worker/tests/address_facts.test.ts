/** What a phone says of a heater that another visit left off: from the events alone. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { addressFacts } from "../shell/core/address_facts";
import { officeEvent } from "./fake_server";

test("a heater that another visit found in service does not stand off as a fact, until somebody shuts it off again", () => {
  const at = (n: number, kind: string, body: object, job: string) => ({ ...officeEvent(n, kind, { ...body }, job), at_wall: `2026-11-25T0${n}:00:00.000Z` });
  const left = at(1, "left_off", { what_words: "The heater", why_words: "84 ppm", tagged: true }, "a");
  const found = at(2, "put_back", { words: "Found in service: by the owner", left_off_ids: [left.id] }, "b");
  const facts = (own: ReturnType<typeof at>[], idle: string[]) =>
    addressFacts({ own, site: [], others: new Map([["a", [left]], ["b", [found]]]) }, new Set(idle)).left_off.map(({ found_wall }) => found_wall);
  assert.deepEqual(facts([], [found.id]), [found.at_wall]);
  assert.deepEqual(facts([], []), []); // it counts: then it is back
  assert.deepEqual(facts([at(3, "left_off", { what_words: "The heater", why_words: "found on", tagged: true }, "c")], [found.id]), [null]);
});
