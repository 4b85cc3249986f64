// Distances between picks {thing, name, what, at, face, carrier}, in mm as assembled. A carrier that
// is neither plane {at, normal} nor cylinder {at, axis, radius} leaves the point `at`.

import { add, along, cross, dot, norm, sub, unit } from "./vector.js";

// Over 100 mm of face a lean of 1e-4 is the 0.01 mm that is shown.
const lean = 1e-4;
const rounding = 0.005;

const mm = (value) => `${Math.abs(value).toFixed(2)} mm`;
const apart = (a, b) => norm(sub(a, b));
const parallel = (a, b) => norm(cross(unit(a), unit(b))) < lean;
const square = (a, b) => Math.abs(dot(unit(a), unit(b))) < lean;
const footOnPlane = (p, { at, normal }) => along(p, unit(normal), dot(unit(normal), sub(at, p)));
const footOnAxis = (p, { at, axis }) => along(at, unit(axis), dot(unit(axis), sub(p, at)));

/** What 0, 1 or 2 picks say: {picks, lines, from, to}; from and to are null where there is no distance. */
export function measure(picks) {
  const nothing = { picks, lines: [], from: null, to: null };
  if (picks.length === 2) return { picks, ...between(...picks) };
  return picks[0]?.carrier.kind === "cylinder" ? { picks, ...diameter(picks[0]) } : nothing;
}

function diameter({ at, carrier }) {
  const axis = footOnAxis(at, carrier);
  const { radius } = carrier;
  return { lines: [`${mm(2 * radius)} diameter`, `${mm(radius)} radius`], from: at, to: add(axis, sub(axis, at)) };
}

const rank = ({ carrier }) => ["plane", "cylinder"].indexOf(carrier.kind) + 1;

function between(a, b) {
  if (rank(a) > rank(b)) {
    const { lines, from, to } = between(b, a);
    return { lines, from: to, to: from };
  }
  const sameFace = a.thing === b.thing && a.face === b.face;
  switch (`${rank(a)}${rank(b)}`) {
    case "01": return toPlane(a, b, "from the point to the face");
    case "02": return pointCylinder(a, b);
    case "11": return sameFace ? points(a, b) : planes(a, b);
    case "12": return planeCylinder(a, b);
    case "22": return sameFace ? diameter(a) : cylinders(a, b);
    default: return points(a, b);
  }
}

function points(a, b) {
  const [x, y, z] = sub(b.at, a.at);
  const parts = `${mm(x)} across the strings, ${mm(y)} along them, ${mm(z)} in height`;
  return { lines: [`${mm(apart(a.at, b.at))} between the points`, parts], from: a.at, to: b.at };
}

function toPlane(a, b, words) {
  const to = footOnPlane(a.at, b.carrier);
  return { lines: [`${mm(apart(a.at, to))} ${words}`], from: a.at, to };
}

function pointCylinder(a, b) {
  const to = footOnAxis(a.at, b.carrier);
  const reach = apart(a.at, to);
  const lines = [`${mm(reach)} from the point to the axis`, `${mm(reach - b.carrier.radius)} from the point to the wall`];
  return { lines, from: a.at, to };
}

function planes(a, b) {
  return parallel(a.carrier.normal, b.carrier.normal) ? toPlane(a, b, "between the faces") : points(a, b);
}

function planeCylinder(a, b) {
  if (!square(a.carrier.normal, b.carrier.axis)) return points(a, b);
  const to = footOnAxis(b.at, b.carrier);
  const from = footOnPlane(to, a.carrier);
  const reach = apart(from, to);
  const gap = reach - b.carrier.radius;
  const wall = gap > -rounding ? `${mm(gap)} from the face to the nearest wall` : "the face runs through the round";
  return { lines: [`${mm(reach)} from the face to the axis`, wall], from, to };
}

function cylinders(a, b) {
  if (!parallel(a.carrier.axis, b.carrier.axis)) return points(a, b);
  const from = footOnAxis(a.at, a.carrier);
  const to = footOnAxis(from, b.carrier);
  const reach = apart(from, to);
  const [r, s] = [a.carrier.radius, b.carrier.radius];
  // Side by side, or one inside the other as a rod in its hole; crossing walls have no gap.
  const gap = Math.max(reach - r - s, Math.abs(r - s) - reach);
  return { lines: [`${mm(reach)} between the axes`, gap > -rounding ? `${mm(gap)} wall to wall` : "the walls cross"], from, to };
}
