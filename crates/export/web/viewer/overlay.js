// What is drawn over everything: picks, the measured line, a gap with its dimension.

import { along, cross, dot, norm, sub, unit } from "./vector.js";

const endPixels = 6;
const arrowPixels = 9;
const tickPixels = 26;

/** Strokes {segments, wide} for picked points, a line of two points or null, a gap {from, to} or null. */
export function strokesOf(picks, line, gap, camera) {
  const { mmPerPixel } = camera;
  const basis = camera.basis();
  const strokes = [];
  const stroke = (points, wide) => strokes.push({ segments: new Float32Array(points.flat()), wide });
  if (line) {
    // A distance need not start where the face was picked; thin lines lead there.
    stroke([line[0], picks[0], line[1], picks.at(-1)], 1);
    stroke(line, 2.5);
  }
  // The first pick is round, the second square.
  picks.forEach((p, i) => stroke(loop(p, endPixels * mmPerPixel, i === 0 ? 24 : 4, basis), 2));
  if (gap) dimension(gap, mmPerPixel, basis.eye).forEach(([points, wide]) => stroke(points, wide));
  return strokes;
}

/** A polygon that faces the eye. */
function loop(centre, radius, sides, { right, up }) {
  const corner = (i) => {
    const angle = ((i + 0.5) / sides) * 2 * Math.PI;
    return along(along(centre, right, radius * Math.cos(angle)), up, radius * Math.sin(angle));
  };
  return Array.from({ length: sides }, (_, i) => [corner(i), corner(i + 1)]).flat();
}

/** A dimension line with its arrows, which stand outside where the gap is too small for them, and a tick at either end. */
function dimension({ from, to }, mmPerPixel, eye) {
  const way = sub(to, from);
  // As seen: what goes towards the eye has no length.
  const flat = along(way, eye, -dot(way, eye));
  if (norm(flat) < 1e-6) return [];
  const ahead = unit(flat);
  const aside = cross(eye, ahead);
  const arrow = arrowPixels * mmPerPixel;
  const isRoomy = norm(flat) > 3 * arrow;
  const head = (tip, sign) => [1, -1].flatMap((side) => [tip, along(along(tip, ahead, sign * arrow), aside, side * arrow * 0.4)]);
  const outwards = isRoomy ? [] : [from, along(from, ahead, -2.5 * arrow), to, along(to, ahead, 2.5 * arrow)];
  const tick = (at) => [-1, 1].map((side) => along(at, aside, side * tickPixels * mmPerPixel));
  return [
    [[from, to], 3],
    [[...outwards, ...head(from, isRoomy ? 1 : -1), ...head(to, isRoomy ? -1 : 1)], 2],
    [[...tick(from), ...tick(to)], 2],
  ];
}
