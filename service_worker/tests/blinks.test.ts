/** Groups of flashes from the times of taps, and the chain's code table. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { groupsText, GROUP_PAUSE_MS, ROUND_PAUSE_MS, roundsAgree, roundsOf } from "../shell/screens/blink_groups";
import { codeIn } from "../shell/screens/heater_read";

/** Taps of a control that shows these rounds: flashes half a second apart. */
function taps(rounds: number[][], { flash = 500, pause = 2_000, round = 5_000, jitter = (): number => 0 } = {}): number[] {
  const times: number[] = [];
  let at = 10_000;
  for (const groups of rounds) {
    for (const count of groups) {
      for (let i = 0; i < count; i++, at += flash) times.push(at + jitter());
      at += pause - flash;
    }
    at += round - pause;
  }
  return times;
}

test("flashes half a second apart are one group, a short pause begins another, a long one the code anew", () => {
  assert.deepEqual(roundsOf(taps([[3]])), [[3]]);
  assert.deepEqual(roundsOf(taps([[2, 4], [2, 4]])), [[2, 4], [2, 4]]);
  assert.deepEqual(roundsOf([]), []);
});

test("every code of up to three groups comes out as it was shown, with a thumb up to 200 ms off", () => {
  let state = 7;
  const jitter = (): number => ((state = (state * 16807) % 2147483647) / 2147483647 - 0.5) * 400;
  for (let a = 1; a <= 6; a++) for (let b = 0; b <= 6; b++) for (let c = 0; c <= 3; c++) {
    const groups = [a, b, c].filter((count) => count > 0);
    assert.deepEqual(roundsOf(taps([groups], { jitter })), [groups], groupsText(groups));
  }
});

test("one shaking thumb is one tap", () => {
  assert.deepEqual(roundsOf([1000, 1040, 1500, 1560, 2000]), [[3]]);
});

test("two rounds agree or do not; an unfinished one agrees as far as it goes", () => {
  assert.equal(roundsAgree([[2, 4]]), null);
  assert.equal(roundsAgree([[2, 4], [2, 4]]), true);
  assert.equal(roundsAgree([[2, 4], [2, 1]]), true);
  assert.equal(roundsAgree([[2, 4], [3]]), false);
  assert.equal(roundsAgree([[2, 4], [2], [2, 4]]), false);
});

test("the pauses that divide are far from the flashes and from one another", () => {
  assert.ok(GROUP_PAUSE_MS >= 2 * 500 && ROUND_PAUSE_MS >= 2 * GROUP_PAUSE_MS);
});

test("a code is found in the model's own table by its groups or its letters, and nowhere else", () => {
  const sheet = { model_sheet_id: "m", procedure_name: "power_vent", maker_words: "", model_words: "", limits: [], vent: [], words: null, codes: [
    { flash_groups: "2, 4", text: null, meaning_words: "Limit open", could_be: ["limit"] }, { flash_groups: null, text: "E-04", meaning_words: "Probe", could_be: [] },
  ] };
  assert.equal(codeIn(sheet, { groups: "2-4" })?.meaning_words, "Limit open");
  assert.equal(codeIn(sheet, { text: "e 04" })?.meaning_words, "Probe");
  assert.equal(codeIn(sheet, { groups: "24" }), null);
  assert.equal(codeIn(sheet, { text: "" }), null);
  assert.equal(codeIn(sheet, {}), null);
  assert.equal(codeIn(null, { groups: "2-4" }), null);
});
