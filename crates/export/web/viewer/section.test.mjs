import { test } from "node:test";
import assert from "node:assert/strict";
import { openingOf } from "./section.js";

const item = (group, kind, low, high, shift = [0, 0, 0]) => ({ thing: { group, kind, box: { low, high } }, shift });
const pickups = [
  item("neck", "part", [-40, -15, 0], [40, 15, 18]),
  item("neck", "ghost", [-60, -90, -30], [60, 90, 18]),
  item("bridge", "part", [-42, -15, 0], [42, 15, 16], [0, -80, 0]),
  item("bridge", "strings", [-30, -300, 17], [30, 300, 19], [0, -80, 0]),
];

test("a cut along the rows goes through the one before the eye, and takes its near half off", () => {
  assert.deepEqual(openingOf(pickups, "y", [0, -1, 0]), { low: -95, high: 15, at: -80, flip: true });
  assert.deepEqual(openingOf(pickups, "y", [0, 1, 0]), { low: -95, high: 15, at: 0, flip: false });
});

test("a cut across is at the middle of the row, seen from either end", () => {
  assert.deepEqual(openingOf(pickups, "x", [-1, 0, 0]), { low: -42, high: 42, at: 0, flip: true });
  assert.deepEqual(openingOf(pickups, "x", [0.6, -0.8, 0]), { low: -42, high: 42, at: 0, flip: false });
});

test("where nothing solid is shown nothing is cut", () => {
  assert.equal(openingOf([pickups[1]], "x", [0, 0, 1]), null);
});
