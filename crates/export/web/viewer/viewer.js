// The viewer as the page sees it: what is shown, from where, and what is measured on it.

import { add, sub } from "./vector.js";
import { boxCorners, extentOf, readScene } from "./scene.js";
import { Camera } from "./camera.js";
import { openingOf, planeOf } from "./section.js";
import { castRay } from "./ray.js";
import { pickAt } from "./pick.js";
import { measure } from "./distance.js";
import { strokesOf } from "./overlay.js";
import { palette } from "./palette.js";
import { Renderer } from "./renderer.js";
import { listen } from "./input.js";

export class Viewer {
  #scene = { things: [], apart: 0 };
  #shown = { pulled: 0, cut: null, ghosts: true, only: null, hidden: new Set(), faded: new Set() };
  #camera = new Camera(() => this.#wake());
  #colours = { ...palette };
  #mode = "turn";
  #picks = [];
  #gap = null;
  #renderer = null;
  #frame = 0;
  #stats = { ms: 0, triangles: 0 };

  /** `onpick(result)` is told of changed picks, `onlost(true)` of graphics that are gone or never were,
   *  `onlost(false)` of their return; `onname(name, x, y)` of what was touched, null where nothing is; `onpaint(project)` of
   *  every picture, with what takes a point to its pixels, and how much the shorter side shows, mm. */
  constructor(canvas, { onpick, onlost, onname = () => {}, onpaint = () => {} }) {
    this.canvas = canvas;
    Object.assign(this, { onpick, onname, onpaint });
    // Assigning one of these draws anew; a change inside the set of hidden ids goes unnoticed.
    for (const key of Object.keys(this.#shown)) {
      const set = (value) => {
        this.#shown[key] = value;
        this.#changed();
      };
      Object.defineProperty(this, key, { get: () => this.#shown[key], set });
    }
    const gl = canvas.getContext("webgl2", { antialias: true, stencil: true, alpha: false });
    if (!gl) return void onlost(true);
    this.#renderer = new Renderer(gl);
    canvas.addEventListener("webglcontextlost", (event) => {
      event.preventDefault();
      this.#renderer = null;
      onlost(true);
    });
    canvas.addEventListener("webglcontextrestored", () => {
      this.#renderer = new Renderer(gl);
      this.#renderer.load(this.#scene.things);
      this.#showPicked();
      onlost(false);
    });
    this.#resize();
    new ResizeObserver(() => this.#resize()).observe(canvas);
    listen(canvas, this.#camera, this);
    this.choose(this.#mode);
  }

  show(buffer) {
    const first = this.#scene.things.length === 0;
    this.clearPicks();
    this.#scene = readScene(buffer);
    this.#renderer?.load(this.#scene.things);
    this.#changed();
    if (first) this.fit();
  }

  /** How a cut shows the inside to where the camera looks from or is about to: {low, high, at, flip}, or null if nothing
   *  is there to cut. */
  opening(axis) { return openingOf(this.#items(), axis, this.#camera.eye); }

  get measured() { return this.#picks; }

  stats() { return this.#stats; }

  look(from) { this.#camera.look(from); }

  fit() {
    const items = this.#items();
    // Strings run on far past the pickup and would make it small.
    const compact = items.filter(({ thing }) => thing.kind !== "strings");
    if (items.length > 0) this.#camera.fit(boxCorners(compact.length > 0 ? compact : items));
  }

  /** Shows a gap {from, to}, filling the frame with what is round it, up to `other` behind it; or none any more. */
  mark(gap) {
    this.#gap = gap;
    if (gap) this.#camera.frame(gap.from, gap.to, gap.other);
    this.#wake();
  }

  choose(mode) {
    this.#mode = mode;
    this.canvas.style.cursor = mode === "measure" ? "crosshair" : "grab";
  }

  colours(inks) {
    Object.assign(this.#colours, inks);
    this.#wake();
  }

  /** A turn begins. It goes about what is seen in the middle, so a close look stays on its subject. */
  grip() {
    const { items, plane, camera } = this.#view();
    const hit = castRay(items, plane, camera.ray(camera.width / 2, camera.height / 2));
    if (hit) camera.turnAbout(hit.at);
  }

  click(x, y) {
    const pick = pickAt(this.#view(), x, y);
    if (this.#mode !== "measure") return void this.onname(pick?.name ?? null, x, y);
    if (pick) this.#setPicks(this.#picks.length === 2 ? [pick] : [...this.#picks, pick]);
  }

  clearPicks() {
    if (this.#picks.length > 0) this.#setPicks([]);
  }

  #setPicks(picks) {
    this.#picks = picks;
    this.#showPicked();
    this.onpick(measure(picks));
  }

  #showPicked() {
    const faces = this.#picks.filter(({ face }) => face !== null);
    this.#renderer?.showPicked(faces.map(({ thing, face }) => ({ thing: this.#thing(thing), face })));
    this.#wake();
  }

  #thing(id) { return this.#scene.things.find((thing) => thing.id === id); }

  #shift({ place, pull }) { return add(place, [0, 0, pull * this.#shown.pulled * this.#scene.apart]); }

  #items() {
    const { ghosts, only, hidden, faded } = this.#shown;
    const visible = ({ id, kind, group }) => !hidden.has(id) && (ghosts || kind !== "ghost") && (!only || only === group);
    return this.#scene.things.filter(visible).map((thing) => ({ thing, shift: this.#shift(thing), faded: faded.has(thing.id) }));
  }

  #view() { return { items: this.#items(), plane: planeOf(this.#shown.cut), camera: this.#camera }; }

  /** Takes a point that goes with a pick from where it is as assembled to where it is seen. */
  #asSeen(at, pick) {
    const thing = this.#thing(pick.thing);
    return add(at, sub(this.#shift(thing), thing.place));
  }

  #changed() {
    const items = this.#items();
    if (items.length > 0) this.#camera.contain(extentOf(items));
    this.#wake();
  }

  #resize() {
    const { canvas } = this;
    this.ratio = Math.min(2, window.devicePixelRatio);
    for (const [side, pixels] of [["width", canvas.clientWidth], ["height", canvas.clientHeight]]) {
      this.#camera[side] = Math.max(1, pixels);
      canvas[side] = Math.round(this.#camera[side] * this.ratio);
    }
    // At once, since a resized canvas is blank.
    this.#paint(performance.now());
  }

  #wake() {
    this.#frame ||= requestAnimationFrame((time) => {
      this.#frame = 0;
      this.#paint(time);
    });
  }

  #paint(time) {
    if (this.#camera.advance(time)) this.#wake();
    if (!this.#renderer) return;
    const begun = performance.now();
    const view = this.#view();
    const picks = this.#picks;
    const { from, to } = measure(picks);
    const seen = picks.map((pick) => this.#asSeen(pick.at, pick));
    const line = from && [this.#asSeen(from, picks[0]), this.#asSeen(to, picks.at(-1))];
    const strokes = strokesOf(seen, line, this.#gap, this.#camera);
    this.#renderer.draw({ ...view, colours: this.#colours, strokes, ratio: this.ratio });
    this.onpaint(this.#camera.projector(), 2 * this.#camera.now.reach);
    const triangles = view.items.reduce((sum, { thing }) => sum + thing.triangles.length / 3, 0);
    this.#stats = { ms: performance.now() - begun, triangles };
  }
}
