// An orthographic camera on a turntable: equal lengths look equal wherever they lie, as judging a fit
// needs, and z (out of the body) never leans over.

import { along, dot, sub } from "./vector.js";

const degree = Math.PI / 180;
const steepest = 89 * degree;
const glideMs = 350;

// [turn, tilt] in degrees. Turn 0 looks from the bridge, with the neck beyond. Left and right are what they are from there.
const stands = {
  corner: [-32, 34],
  strings: [0, 90],
  body: [0, -90],
  bridge: [0, 0],
  neck: [180, 0],
  left: [-90, 0],
  right: [90, 0],
};
const stand = (from) => ({ turn: stands[from][0] * degree, tilt: stands[from][1] * degree });
/** Half of what the shorter side shows of a gap, mm: less and nothing round it is known again, more and it is lost. */
const gapReach = [1.2, 60];
const clamp = (value, low, high) => Math.max(low, Math.min(high, value));

export class Camera {
  constructor(changed) {
    this.changed = changed;
    this.width = 1;
    this.height = 1;
    // `reach` is half of what the shorter side of the canvas shows, in mm.
    this.now = { ...stand("corner"), target: [0, 0, 0], reach: 50 };
    this.goal = this.now;
    this.contain({ low: [0, 0, 0], high: [1, 1, 1] });
  }

  /** Near and far planes are put around this ball. */
  contain({ low, high }) {
    this.room = { centre: low.map((value, i) => (value + high[i]) / 2), radius: Math.hypot(...sub(high, low)) / 2 };
  }

  get mmPerPixel() {
    return (2 * this.now.reach) / Math.min(this.width, this.height);
  }

  /** Right, up and towards the eye, in scene coordinates. */
  basis({ turn, tilt } = this.now) {
    const [st, ct, si, ci] = [Math.sin(turn), Math.cos(turn), Math.sin(tilt), Math.cos(tilt)];
    return { right: [ct, st, 0], up: [-si * st, si * ct, ci], eye: [ci * st, -ci * ct, si] };
  }

  /** Towards the eye, where it is or is about to be. */
  get eye() { return this.basis(this.goal).eye; }

  /** Scene to clip space. */
  matrix() {
    const { right, up, eye } = this.basis();
    const { centre, radius } = this.room;
    const { target } = this.now;
    const x = 2 / (this.width * this.mmPerPixel);
    const y = 2 / (this.height * this.mmPerPixel);
    const z = -1 / (1.1 * radius);
    const columns = [0, 1, 2].flatMap((i) => [right[i] * x, up[i] * y, eye[i] * z, 0]);
    return [...columns, -dot(right, target) * x, -dot(up, target) * y, -dot(eye, centre) * z, 1];
  }

  /** A function from scene points to CSS pixels of the canvas. */
  projector() {
    const { right, up } = this.basis();
    const scale = 1 / this.mmPerPixel;
    const corner = this.moved(-this.width / 2, -this.height / 2);
    return (p) => [dot(right, sub(p, corner)) * scale, -dot(up, sub(p, corner)) * scale];
  }

  /** The line of sight through a pixel, from before everything. */
  ray(x, y) {
    const { eye } = this.basis();
    const start = this.moved(x - this.width / 2, y - this.height / 2);
    const back = dot(eye, sub(this.room.centre, start)) + 2 * this.room.radius;
    return { origin: along(start, eye, back), direction: eye.map((value) => -value) };
  }

  /** The target, moved by pixels to the right and down. */
  moved(x, y) {
    const { right, up } = this.basis();
    return along(along(this.now.target, right, x * this.mmPerPixel), up, -y * this.mmPerPixel);
  }

  turnBy(turn, tilt) {
    this.put({ turn: this.now.turn + turn, tilt: clamp(this.now.tilt + tilt, -steepest, steepest) });
  }

  /** Moves the picture by pixels, to the right and down. */
  shiftBy(x, y) {
    this.put({ target: this.moved(-x, -y) });
  }

  /** Enlarges by a factor; what lies under pixel (x, y) stays there. */
  zoomBy(factor, x, y) {
    const reach = clamp(this.now.reach / factor, 0.2, 6 * this.room.radius);
    const share = 1 - reach / this.now.reach;
    this.put({ reach, target: this.moved((x - this.width / 2) * share, (y - this.height / 2) * share) });
  }

  /** Puts the turning point at the depth of `p`; without perspective the picture stays the same. */
  turnAbout(p) {
    const { eye } = this.basis();
    this.put({ target: along(this.now.target, eye, dot(eye, sub(p, this.now.target))) });
  }

  look(from) {
    this.glide(stand(from));
  }

  /** Frames points, seen from where the camera looks or is about to. */
  fit(points) {
    const { right, up, eye } = this.basis(this.goal);
    const shorter = Math.min(this.width, this.height);
    let target = [0, 0, 0];
    let reach = 1;
    for (const [axis, side] of [[right, this.width], [up, this.height], [eye, Infinity]]) {
      const values = points.map((p) => dot(axis, p));
      const [low, high] = [Math.min(...values), Math.max(...values)];
      target = along(target, axis, (low + high) / 2);
      reach = Math.max(reach, (0.56 * (high - low) * shorter) / side);
    }
    this.glide({ target, reach });
  }

  /** Centres a gap between two points and makes it a good part of the picture, with something of what it is between: the
   *  second of that begins at `other`. */
  frame(a, b, other) {
    const target = a.map((value, i) => (value + other[i]) / 2);
    const reach = Math.max(3 * Math.hypot(...sub(a, b)), Math.hypot(...sub(a, other)));
    this.glide({ target, reach: clamp(reach, ...gapReach) });
  }

  put(change) {
    this.now = { ...this.now, ...change };
    this.goal = this.now;
    this.changed();
  }

  glide(change) {
    const goal = { ...this.goal, ...change };
    if (matchMedia("(prefers-reduced-motion: reduce)").matches) return this.put(goal);
    // The short way round.
    const whole = 360 * degree;
    goal.turn += whole * Math.round((this.now.turn - goal.turn) / whole);
    this.goal = goal;
    this.left = { ...this.now, at: performance.now() };
    this.changed();
  }

  /** Advances a glide; true while it lasts. */
  advance(time) {
    const { left, goal } = this;
    if (goal === this.now) return false;
    const t = clamp((time - left.at) / glideMs, 0, 1);
    const mix = (a, b) => a + (b - a) * t * t * (3 - 2 * t);
    const [turn, tilt, reach] = ["turn", "tilt", "reach"].map((key) => mix(left[key], goal[key]));
    const target = left.target.map((value, i) => mix(value, goal.target[i]));
    this.now = t === 1 ? goal : { turn, tilt, reach, target };
    return t < 1;
  }
}
