/** A signature as a path: whole numbers, inside its box, never longer than what the office takes. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { BOX, inBox, isWorthIt, MOST_LETTERS, pathOf, strokesOf } from "../shell/components/signature";

// webapp/sync/fields.py: SVG 2, section 9.3, absolute move-to and line-to alone
const FORM = /^(M[0-9]{1,3} [0-9]{1,3}(L[0-9]{1,3} [0-9]{1,3})*)+$/;

const scribble = (points: number): [number, number][] => Array.from({ length: points }, (_, i) => [(i * 37) % 601, (i * 53) % 201]);

test("strokes become one path of M and L, and come back from it", () => {
  const strokes: [number, number][][] = [[[10, 20], [30, 40], [600, 200]], [[0, 0], [5, 5]]];
  assert.equal(pathOf(strokes), "M10 20L30 40L600 200M0 0L5 5");
  assert.deepEqual(strokesOf(pathOf(strokes)), strokes);
});

test("a dot is a line to itself, and nothing is nothing", () => {
  assert.equal(pathOf([[[7, 8]]]), "M7 8L7 8");
  assert.equal(pathOf([]), "");
  assert.equal(pathOf([[]]), "");
});

test("however long somebody scribbles, the path fits and keeps its form, its first and its last point", () => {
  for (const points of [10, 2_000, 3_000, 50_000, 400_000]) {
    const path = pathOf([scribble(points), scribble(points)]);
    assert.ok(path.length <= MOST_LETTERS && path.length > 0, `${points}: ${path.length}`);
    assert.ok(FORM.test(path));
    const [last] = scribble(points).slice(-1);
    assert.deepEqual(strokesOf(path).at(-1)?.at(-1), last);
  }
});

test("thousands of dots fit as well", () => {
  const path = pathOf(Array.from({ length: 5_000 }, () => [[300, 100]] as [number, number][]));
  assert.ok(path.length <= MOST_LETTERS);
  assert.ok(FORM.test(path));
});

test("a finger that leaves the pad stays at its edge", () => {
  const on = { left: 20, top: 100, width: 300, height: 100 };
  assert.deepEqual(inBox(170, 150, on), [300, 100]);
  assert.deepEqual(inBox(-500, 5_000, on), [0, BOX.height]);
  assert.deepEqual(inBox(9_999, -1, on), [BOX.width, 0]);
});

test("points nearer than a pen's width are one", () => {
  assert.ok(isWorthIt(undefined, [1, 1]));
  assert.ok(!isWorthIt([1, 1], [2, 2]));
  assert.ok(isWorthIt([1, 1], [5, 1]));
});
