// The cut: which side is kept, and the outline it draws on each thing.

import { extentOf } from "./scene.js";
import { dot } from "./vector.js";

// A face often lies exactly where the cut stands; a hair more lets all its pixels decide alike.
const hair = 0.0005;

/** The cut as a half space: kept is where dot(normal, p) <= offset. Null if nothing is cut. */
export function planeOf(cut) {
  if (!cut) return null;
  const axis = "xyz".indexOf(cut.axis);
  const sign = cut.flip ? -1 : 1;
  const normal = [0, 0, 0];
  normal[axis] = sign;
  const offset = sign * cut.at + hair;
  return { axis, normal, offset, level: sign * offset };
}

/** How to cut items so that an eye in that direction sees into them: through the middle of the group that is nearest to
 *  it, with the half towards it taken off; and {low, high}, between which there is something to cut. */
export function openingOf(items, axis, eye) {
  const k = "xyz".indexOf(axis);
  const solid = items.filter(({ thing: { kind } }) => kind !== "ghost" && kind !== "strings");
  if (solid.length === 0) return null;
  const groups = [...new Set(solid.map(({ thing }) => thing.group))];
  const boxes = groups.map((group) => extentOf(solid.filter(({ thing }) => thing.group === group)));
  const middle = ({ low, high }) => low.map((value, i) => (value + high[i]) / 2);
  const nearest = boxes.map(middle).reduce((a, b) => (dot(eye, b) > dot(eye, a) ? b : a));
  const { low, high } = extentOf(solid);
  return { low: low[k], high: high[k], at: nearest[k], flip: eye[k] < 0 };
}

// Leaves room for rounding in points that lie in the cut.
export const keeps = (plane, p) => !plane || dot(plane.normal, p) <= plane.offset + hair / 2;

const sections = new WeakMap();

/** Where the plane crosses an item, in the thing's own coordinates, and the faces that own the segments.
 *  Kept until the plane moves, since a turning view asks for it every frame. */
export function sectionOf({ thing, shift }, { axis, level }) {
  const height = level - shift[axis];
  const known = sections.get(thing);
  if (known?.axis === axis && known.height === height) return known;
  const made = { axis, height, ...crossings(thing, axis, height) };
  sections.set(thing, made);
  return made;
}

function crossings({ points, triangles, faces }, axis, height) {
  const segments = [];
  const owners = [];
  const above = (corner) => points[3 * corner + axis] - height;
  for (let t = 0; t < faces.length; t++) {
    const corners = triangles.subarray(3 * t, 3 * t + 3);
    for (let k = 0; k < 3; k++) {
      const [a, b] = [corners[k], corners[(k + 1) % 3]];
      const [p, q] = [above(a), above(b)];
      if (p > 0 === q > 0) continue;
      for (let i = 0; i < 3; i++) segments.push(points[3 * a + i] + (p / (p - q)) * (points[3 * b + i] - points[3 * a + i]));
    }
    if (segments.length / 6 > owners.length) owners.push(faces[t]);
  }
  return { segments: new Float32Array(segments), owners };
}
