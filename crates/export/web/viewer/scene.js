// A scene file: "bwm1", the length of a JSON header, the header, then one blob of 4-byte elements
// that the header's {at, count} entries point into, all little endian as every machine with WebGL2.

import { add, pointAt } from "./vector.js";

export function readScene(buffer) {
  const text = (from, length) => new TextDecoder().decode(new Uint8Array(buffer, from, length));
  if (text(0, 4) !== "bwm1") throw new Error(`a scene starts with "bwm1", not with "${text(0, 4)}"`);
  const jsonBytes = new DataView(buffer).getUint32(4, true);
  const scene = JSON.parse(text(8, jsonBytes));
  const array = (Kind, { at, count } = { at: 0, count: 0 }) => new Kind(buffer, 8 + jsonBytes + 4 * at, count);
  for (const thing of scene.things) {
    for (const key of ["points", "normals", "edges"]) thing[key] = array(Float32Array, thing[key]);
    for (const key of ["triangles", "faces"]) thing[key] = array(Uint32Array, thing[key]);
    thing.box = boxOf(thing.points);
  }
  return scene;
}

function boxOf(points) {
  const box = { low: [Infinity, Infinity, Infinity], high: [-Infinity, -Infinity, -Infinity] };
  points.forEach((value, i) => {
    box.low[i % 3] = Math.min(box.low[i % 3], value);
    box.high[i % 3] = Math.max(box.high[i % 3], value);
  });
  return box;
}

/** The corners of the boxes around items ({thing, shift}) as they stand. */
export function boxCorners(items) {
  const corner = ({ thing: { box }, shift }, i) => add(shift, [0, 1, 2].map((k) => ((i >> k) & 1 ? box.high[k] : box.low[k])));
  return items.flatMap((item) => [0, 1, 2, 3, 4, 5, 6, 7].map((i) => corner(item, i)));
}

export const extentOf = (items) => boxOf(boxCorners(items).flat());

export const bySubstance = (items) => ({
  solids: items.filter(({ thing, faded }) => thing.kind !== "ghost" && !faded),
  ghosts: items.filter(({ thing, faded }) => thing.kind === "ghost" || faded),
});

/** A face's exact carrier as assembled. */
export function carrierOf({ carriers, place }, face) {
  const carrier = carriers?.[face] ?? { kind: "rounded" };
  return carrier.at ? { ...carrier, at: add(carrier.at, place) } : carrier;
}

export const triangleOf = ({ points, triangles }, t) => [0, 1, 2].map((k) => pointAt(points, triangles[3 * t + k]));
