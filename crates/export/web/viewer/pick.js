// From a pixel to a pick: a corner, a face that the cut's outline shows, the round of a rim, or the face
// under the pointer.

import { add, along, cross, dot, norm, pointAt, sub, unit } from "./vector.js";
import { bySubstance, carrierOf } from "./scene.js";
import { keeps, sectionOf } from "./section.js";
import { castRay } from "./ray.js";

const snapPixels = 8;
const linePixels = 5;

/** `view` is {items, plane, camera}; items are the visible {thing, shift}. Null where nothing is. */
export function pickAt(view, x, y) {
  // Ghosts are looked through: one is picked only where nothing solid is.
  const { solids, ghosts } = bySubstance(view.items);
  return pickAmong({ ...view, items: solids }, x, y) ?? pickAmong({ ...view, items: ghosts }, x, y);
}

function pickAmong(view, x, y) {
  const corner = nearestSeen(view, x, y, snapPixels, ({ thing }) => landmarksOf(thing).corners);
  if (corner) return pickOf(corner, "corner");
  const outline = view.plane && nearestSeen(view, x, y, linePixels, outlineSpots);
  const line = outline ?? nearestSeen(view, x, y, linePixels, ({ thing }) => landmarksOf(thing).rims);
  if (line) return pickOf(line);
  const hit = castRay(view.items, view.plane, view.camera.ray(x, y));
  return hit && pickOf(hit, hit.face === null ? "cut face" : undefined);
}

function pickOf({ item: { thing, shift }, at, face }, what) {
  const carrier = face === null ? { kind: "point" } : carrierOf(thing, face);
  const round = carrier.hollow ? "hollow round" : "round";
  what ??= { plane: "flat face", cylinder: round }[carrier.kind] ?? "rounded face";
  // What is seen may be pulled apart; a pick is told as assembled.
  return { thing: thing.id, name: thing.name, what, at: add(sub(at, shift), thing.place), face, carrier };
}

/** The spot {item, at, face} nearest to the pixel, within `pixels` of it, that nothing hides. */
function nearestSeen({ items, plane, camera }, x, y, pixels, spotsOf) {
  const project = camera.projector();
  const spots = [];
  for (const item of items) {
    for (const { ends, face } of spotsOf(item, plane)) {
      const at = closest(project, ends.map((p) => add(p, item.shift)), x, y);
      const [px, py] = project(at);
      const away = Math.hypot(px - x, py - y);
      if (away > pixels || !keeps(plane, at)) continue;
      const ray = camera.ray(px, py);
      spots.push({ item, at, face, away, ray, s: dot(sub(at, ray.origin), ray.direction) });
    }
  }
  // Of many that coincide in a straight view, the nearest to the eye counts.
  const rank = ({ away, s }) => away + 0.01 * s;
  const seen = ({ ray, s }) => !(castRay(items, plane, ray)?.s < s - 0.02);
  return spots.sort((a, b) => rank(a) - rank(b)).slice(0, 12).find(seen) ?? null;
}

function closest(project, [a, b], x, y) {
  const [[ax, ay], [bx, by]] = [project(a), project(b)];
  const [ux, uy] = [bx - ax, by - ay];
  const s = ((x - ax) * ux + (y - ay) * uy) / (ux * ux + uy * uy || 1);
  return along(a, sub(b, a), Math.max(0, Math.min(1, s)));
}

function outlineSpots(item, plane) {
  const { segments, owners } = sectionOf(item, plane);
  return owners.map((face, i) => ({ ends: [pointAt(segments, 2 * i), pointAt(segments, 2 * i + 1)], face }));
}

const landmarks = new WeakMap();

function landmarksOf(thing) {
  if (!landmarks.has(thing)) landmarks.set(thing, { corners: findCorners(thing), rims: findRims(thing) });
  return landmarks.get(thing);
}

/** Where edges meet or bend sharply; the joints of a curve drawn in short pieces are none. */
function findCorners({ edges }) {
  const meeting = new Map();
  for (let i = 0; i < edges.length / 3; i++) {
    const at = pointAt(edges, i);
    const way = sub(pointAt(edges, i ^ 1), at);
    if (norm(way) < 1e-6) continue;
    const key = at.map((value) => Math.round(value * 1e3)).join();
    if (!meeting.has(key)) meeting.set(key, { ends: [at, at], face: null, ways: [] });
    meeting.get(key).ways.push(unit(way));
  }
  const straightOn = -Math.cos((25 * Math.PI) / 180);
  const sharp = ({ ways }) => ways.length !== 2 || dot(ways[0], ways[1]) > straightOn;
  return [...meeting.values()].filter(sharp);
}

/** Edges around a cylinder. A hole seen along its axis shows no wall to click on; its rim stands for it. */
function findRims({ edges, carriers = [] }) {
  const cylinders = carriers.map((carrier, face) => ({ ...carrier, face })).filter(({ kind }) => kind === "cylinder");
  const rims = [];
  for (let i = 0; i < edges.length / 3; i += 2) {
    const ends = [pointAt(edges, i), pointAt(edges, i + 1)];
    const around = cylinders.find((cylinder) => runsAround(cylinder, ends));
    if (around) rims.push({ ends, face: around.face });
  }
  return rims;
}

function runsAround({ at, axis, radius }, [a, b]) {
  const n = unit(axis);
  const onWall = (p) => Math.abs(norm(cross(sub(p, at), n)) - radius) < 0.01;
  return onWall(a) && onWall(b) && Math.abs(dot(n, sub(b, a))) < 0.01 * norm(sub(b, a));
}
