// Drawings that the program makes: a place lit on one, and what a wish is, drawn small.

import { ask } from "./wire.js";

const SVG = "http://www.w3.org/2000/svg";

/** An element of a drawing. */
export function shape(name, attributes) {
  const one = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) one.setAttribute(key, value);
  return one;
}

/** Lights the place of a spot on a drawing, and no other; gives where that is, and the drawing's view box. */
export function light(svg, spot, part) {
  svg.querySelector(".lit")?.remove();
  const [x, y, width, height] = svg.getAttribute("viewBox").split(/\s+/).map(Number);
  const at = [x + spot.x * width, y + spot.y * height];
  svg.append(shape("circle", { cx: at[0], cy: at[1], r: width * part, class: "lit" }));
  return { at, width };
}

/**
 * Pictures of what wishes are, once the program has drawn them: `into(position, path)` gives the place that one goes to, or
 * none. What several pictures show is drawn once, in `shared`.
 */
export async function drawWishes(shared, into) {
  const all = await ask("pictures");
  const views = document.createElementNS(SVG, "defs");
  shared.replaceChildren(views);
  // What was drawn of parts that can't be made any more goes.
  for (const old of document.querySelectorAll(".pic")) old.replaceChildren();
  for (const [number, { position, views: drawn, pictures }] of all.entries()) {
    const name = (view) => `view-${number}-${view}`;
    drawn.forEach((inside, view) => {
      const group = shape("g", { id: name(view) });
      group.innerHTML = inside;
      views.append(group);
    });
    for (const { path, view, frame, mark } of pictures) {
      const picture = shape("svg", { viewBox: frame.join(" "), "aria-hidden": "true" });
      const marked = shape("g", {});
      marked.innerHTML = mark;
      picture.append(shape("use", { href: `#${name(view)}` }), marked);
      into(position, path)?.replaceChildren(picture);
    }
  }
}
