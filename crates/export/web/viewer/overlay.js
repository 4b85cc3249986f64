// What is drawn over everything: picks, the measured line, the ring marker.

import { along } from "./vector.js";

const endPixels = 6;
const ringPixels = 14;

/** Strokes {segments, wide} for picked points, a line of two points or null, a ring {at, radius} or null. */
export function strokesOf(picks, line, marked, camera) {
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
  if (marked) {
    const radius = Math.max(marked.radius, ringPixels * mmPerPixel);
    stroke(loop(marked.at, radius, 72, basis), 3);
  }
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
