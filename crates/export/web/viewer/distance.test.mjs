import { test } from "node:test";
import assert from "node:assert/strict";
import { measure } from "./distance.js";

const pick = (at, carrier, face = null, thing = "cover") => ({ thing, name: thing, what: "", at, face, carrier });
const plane = (at, normal, face) => pick(at, { kind: "plane", at, normal }, face);
const cylinder = (at, axis, radius, spot, face) => pick(spot, { kind: "cylinder", at, axis, radius }, face);
const corner = (at) => pick(at, { kind: "point" });
const near = (a, b) => a.forEach((value, i) => assert.ok(Math.abs(value - b[i]) < 1e-9, `${a} is not ${b}`));

test("nothing and one flat face say nothing", () => {
  assert.deepEqual(measure([]), { picks: [], lines: [], from: null, to: null });
  assert.deepEqual(measure([plane([0, 0, 1], [0, 0, 1], 0)]).lines, []);
});

test("one cylinder tells its diameter, across the picked spot", () => {
  const found = measure([cylinder([1, 2, 0], [0, 0, 1], 1.7, [2.7, 2, 5], 0)]);
  assert.deepEqual(found.lines, ["3.40 mm diameter", "1.70 mm radius"]);
  near(found.from, [2.7, 2, 5]);
  near(found.to, [-0.7, 2, 5]);
});

test("parallel faces, whichever way their normals point and however long", () => {
  const found = measure([plane([3, 4, 2], [0, 0, -2], 0), plane([50, -7, 14.34], [0, 0, 1], 1)]);
  assert.deepEqual(found.lines, ["12.34 mm between the faces"]);
  near(found.to, [3, 4, 14.34]);
});

test("faces at an angle fall back to the picked points", () => {
  const found = measure([plane([0, 0, 0], [0, 0, 1], 0), plane([3, 4, 0], [0, 1, 1], 1)]);
  assert.equal(found.lines[0], "5.00 mm between the points");
  assert.equal(found.lines[1], "3.00 mm across the strings, 4.00 mm along them, 0.00 mm in height");
});

test("two spots on one flat face are two points", () => {
  const a = plane([0, 0, 0], [0, 0, 1], 0);
  assert.equal(measure([a, { ...a, at: [0, 6, 0] }]).lines[0], "6.00 mm between the points");
});

test("face to a hole along it, in either order", () => {
  const wall = plane([10, 0, 0], [1, 0, 0], 0);
  const hole = cylinder([4, 1, 0], [0, 0, 3], 1.5, [5.5, 1, 2], 1);
  const lines = ["6.00 mm from the face to the axis", "4.50 mm from the face to the nearest wall"];
  assert.deepEqual(measure([wall, hole]).lines, lines);
  const back = measure([hole, wall]);
  assert.deepEqual(back.lines, lines);
  near(back.from, [4, 1, 2]);
  near(back.to, [10, 1, 2]);
});

test("a face that the axis pierces has no distance to it", () => {
  const found = measure([plane([0, 0, 0], [0, 0, 1], 0), cylinder([0, 0, 0], [0, 0, 1], 1, [1, 0, 2], 1)]);
  assert.equal(found.lines[0], `${Math.sqrt(5).toFixed(2)} mm between the points`);
});

test("parallel cylinders side by side, one inside the other, and crossing", () => {
  const a = cylinder([0, 0, 0], [0, 0, 1], 2, [2, 0, 1], 0);
  const walls = (x, radius) => measure([a, cylinder([x, 0, 9], [0, 0, -1], radius, [x + radius, 0, 9], 1)]).lines;
  assert.deepEqual(walls(10, 3), ["10.00 mm between the axes", "5.00 mm wall to wall"]);
  assert.deepEqual(walls(0.1, 1.7), ["0.10 mm between the axes", "0.20 mm wall to wall"]);
  assert.deepEqual(walls(3, 2), ["3.00 mm between the axes", "the walls cross"]);
});

test("corner to corner, to face and to axis", () => {
  const at = corner([3, 4, 12]);
  assert.equal(measure([corner([0, 0, 0]), at]).lines[0], "13.00 mm between the points");
  assert.deepEqual(measure([at, plane([0, 0, 2], [0, 0, 1], 0)]).lines, ["10.00 mm from the point to the face"]);
  const hole = cylinder([0, 0, 0], [0, 0, 1], 1, [1, 0, 0], 0);
  assert.deepEqual(measure([hole, at]).lines, ["5.00 mm from the point to the axis", "4.00 mm from the point to the wall"]);
});
