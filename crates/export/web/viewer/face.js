// One face of a thing, to be shown as picked: its triangles and its outline.

import { triangleOf } from "./scene.js";

export function faceOf(thing, face) {
  const triangles = [];
  const sides = new Map();
  for (let t = 0; t < thing.faces.length; t++) {
    if (thing.faces[t] !== face) continue;
    triangles.push(...thing.triangles.subarray(3 * t, 3 * t + 3));
    countSides(sides, triangleOf(thing, t));
  }
  const outline = [...sides.values()].filter(({ uses }) => uses === 1).flatMap(({ ends }) => ends.flat());
  return { triangles: new Uint32Array(triangles), outline: new Float32Array(outline) };
}

// A side that two triangles share is no outline. A mesh may hold the same point twice.
function countSides(sides, corners) {
  for (let k = 0; k < 3; k++) {
    const ends = [corners[k], corners[(k + 1) % 3]];
    const key = ends.map((p) => p.join()).sort().join(" ");
    const side = sides.get(key) ?? { ends, uses: 0 };
    side.uses += 1;
    sides.set(key, side);
  }
}
