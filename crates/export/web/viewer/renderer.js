// Draws one picture: solids, cut faces, edges, ghosts, picked faces, overlay.

import { along, dot } from "./vector.js";
import { bySubstance } from "./scene.js";
import { sectionOf } from "./section.js";
import { faceOf } from "./face.js";
import { mixed } from "./palette.js";
import { Program, meshOfFaces, meshOfLines } from "./gpu.js";
import { capShader, faceShader, lineShader } from "./shaders.js";

const edgePixels = 1.2;
const outlinePixels = 2.2;
const hatchPixels = 7;
const stripePixels = 10;
const nothingCut = [0, 0, 0, 1];

const freeAll = ({ faces, edges, outline }) => [faces, edges, outline].forEach((each) => each?.free());

export class Renderer {
  constructor(gl) {
    this.gl = gl;
    this.face = new Program(gl, faceShader);
    this.line = new Program(gl, lineShader);
    this.cap = new Program(gl, capShader);
    this.meshes = new Map();
    this.picked = [];
  }

  load(things) {
    this.showPicked([]);
    this.meshes.forEach(freeAll);
    const meshes = (thing) => ({ faces: meshOfFaces(this.gl, thing, thing.triangles), edges: meshOfLines(this.gl, thing.edges) });
    this.meshes = new Map(things.map((thing) => [thing, meshes(thing)]));
  }

  /** Faces [{thing, face}] to be hatched and outlined from now on. */
  showPicked(chosen) {
    this.picked.forEach(freeAll);
    this.picked = chosen.map(({ thing, face }) => {
      const { triangles, outline } = faceOf(thing, face);
      return { thing, faces: meshOfFaces(this.gl, thing, triangles), outline: meshOfLines(this.gl, outline) };
    });
  }

  /** `picture`: items [{thing, shift}], plane, camera, colours, strokes, ratio (device per CSS pixel). */
  draw(picture) {
    const { items, plane, camera, colours } = picture;
    const { solids, ghosts } = bySubstance(items);
    this.start(picture);
    for (const item of solids) this.drawFaces(item, colours[item.thing.ink]);
    // From behind, what is kept hides the cut.
    if (plane && dot(plane.normal, camera.basis().eye) > 1e-3) solids.forEach((item, i) => this.drawCap(item, i, picture));
    for (const item of solids) this.drawEdges(item, plane, colours.edge);
    this.drawGhosts(ghosts, picture);
    this.drawPicked(items, colours.mark);
    this.drawStrokes(picture);
  }

  start({ plane, camera, colours, ratio }) {
    const { gl } = this;
    const { width, height } = gl.canvas;
    gl.viewport(0, 0, width, height);
    gl.clearColor(...colours.background, 1);
    gl.depthMask(true);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT | gl.STENCIL_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    gl.depthFunc(gl.LEQUAL);
    gl.enable(gl.CULL_FACE);
    gl.disable(gl.BLEND);
    gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA);
    // Faces step back a little so that the edges on them stay whole.
    gl.enable(gl.POLYGON_OFFSET_FILL);
    const { right, up, eye } = camera.basis();
    const light = eye.map((value, i) => 0.54 * value + 0.68 * up[i] - 0.5 * right[i]);
    const view = camera.matrix();
    this.ratio = ratio;
    this.cut = plane ? [...plane.normal, plane.offset] : nothingCut;
    this.cap.use({ view, wide: 0.5 * ratio });
    this.line.use({ view, screen: [width, height] });
    this.face.use({ view, cut: this.cut, light, eye });
  }

  drawFaces({ thing, shift }, ink, alpha = 1) {
    this.gl.polygonOffset(1.5, 2);
    this.face.use({ shift, ink, alpha, stripes: 0 });
    this.meshes.get(thing).faces.draw();
  }

  drawLines(lines, shift, ink, pixels, cut) {
    this.gl.polygonOffset(0, 0);
    this.line.use({ shift, ink, cut, wide: pixels * this.ratio });
    lines.draw();
  }

  /** A ray that starts inside solid meets one more back than front; the stencil counts them to find the
   *  cut face, and drawing that sets it back to zero. */
  drawCap(item, i, { plane, camera, colours }) {
    const { gl } = this;
    const ink = colours[item.thing.ink];
    gl.enable(gl.STENCIL_TEST);
    gl.disable(gl.CULL_FACE);
    gl.disable(gl.DEPTH_TEST);
    gl.colorMask(false, false, false, false);
    gl.stencilFunc(gl.ALWAYS, 0, 255);
    gl.stencilOpSeparate(gl.BACK, gl.KEEP, gl.KEEP, gl.INCR_WRAP);
    gl.stencilOpSeparate(gl.FRONT, gl.KEEP, gl.KEEP, gl.DECR_WRAP);
    this.drawFaces(item, ink);
    gl.colorMask(true, true, true, true);
    gl.enable(gl.DEPTH_TEST);
    gl.stencilFunc(gl.NOTEQUAL, 0, 255);
    gl.stencilOp(gl.ZERO, gl.ZERO, gl.ZERO);
    const { centre, radius } = camera.room;
    const inPlane = along(centre, plane.normal, plane.offset - dot(plane.normal, centre));
    const [across, upward] = [1, 2].map((next) => [0, 1, 2].map((k) => (k === (plane.axis + next) % 3 ? radius : 0)));
    const step = Math.SQRT1_2 / (hatchPixels * this.ratio);
    const hatch = [step, i % 2 === 0 ? -step : step];
    this.cap.use({ centre: inPlane, across, upward, hatch });
    this.cap.use({ ink: mixed(ink, colours.cap, 0.6), line: mixed(ink, colours.edge, 0.45) });
    gl.bindVertexArray(null);
    gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4);
    gl.disable(gl.STENCIL_TEST);
    gl.enable(gl.CULL_FACE);
  }

  drawEdges(item, plane, ink) {
    const own = this.meshes.get(item.thing);
    this.drawLines(own.edges, item.shift, ink, edgePixels, this.cut);
    if (!plane) return;
    const section = sectionOf(item, plane);
    if (own.section !== section) {
      own.outline?.free();
      Object.assign(own, { section, outline: meshOfLines(this.gl, section.segments) });
    }
    this.drawLines(own.outline, item.shift, ink, edgePixels, nothingCut);
  }

  drawGhosts(ghosts, { plane, colours }) {
    const { gl } = this;
    gl.enable(gl.BLEND);
    gl.depthMask(false);
    gl.disable(gl.CULL_FACE);
    for (const item of ghosts) {
      const ink = colours[item.thing.ink];
      this.drawFaces(item, ink, 0.2);
      this.drawEdges(item, plane, ink);
    }
    gl.enable(gl.CULL_FACE);
  }

  drawPicked(items, ink) {
    this.picked.forEach(({ thing, faces, outline }, i) => {
      const item = items.find((shown) => shown.thing === thing);
      if (!item) return;
      this.gl.polygonOffset(1.5, 2);
      this.face.use({ shift: item.shift, ink, stripes: (i === 0 ? stripePixels : -stripePixels) * this.ratio });
      faces.draw();
      this.drawLines(outline, item.shift, ink, outlinePixels, this.cut);
    });
  }

  /** A halo in the background's colour lets a stroke show on anything. */
  drawStrokes({ strokes, colours }) {
    this.gl.disable(this.gl.DEPTH_TEST);
    const meshes = strokes.map(({ segments }) => meshOfLines(this.gl, segments));
    for (const [ink, halo] of [[colours.background, 3], [colours.mark, 0]]) {
      meshes.forEach((each, i) => this.drawLines(each, [0, 0, 0], ink, strokes[i].wide + halo, nothingCut));
    }
    meshes.forEach((each) => each.free());
  }
}
