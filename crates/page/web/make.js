// Elements, made in one call each.

import { reach } from "./carrier.js";

/** An element: `make("button", { class: "press", onclick }, "words", child)`. */
export function make(name, attributes = {}, ...children) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else if (key === "src" || key === "href") reach(element, key, value);
    else if (key === "value" || key === "checked" || key === "disabled") element[key] = value;
    else element.setAttribute(key, value === true ? "" : value);
  }
  element.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

/** A label with its control under it. */
export const labelled = (words, control) => make("label", {}, words, control);

/** The family's unit, `mm` or `in`, in which everything is said. */
let unit = "mm";
export const speak = (of) => {
  unit = of;
};

/** Millimetres as a person reads them, in the family's unit, with a true minus sign. */
export const figure = (value, sign = false) => {
  const text = unit === "in" ? Math.abs(value / 25.4).toFixed(3) : Math.abs(value).toFixed(2);
  if (Number(text) === 0) return text;
  return (value < 0 ? "\u2212" : sign ? "+" : "") + text;
};

/** `92.24 mm`. */
export const length = (value) => `${figure(value)} ${unit}`;

/** As it would be typed: without a unit it is taken for millimetres. */
export const asTyped = (value) => figure(value) + (unit === "in" ? "in" : "");

/** `92.24 ± 0.02 mm`: a doubt is never shown as none, and what has none is shown without. */
export const withDoubt = (value, u, sign = false) => {
  const step = unit === "in" ? 0.0254 : 0.01;
  return u > 0 ? `${figure(value, sign)} ± ${length(Math.max(u, step))}` : `${figure(value, sign)} ${unit}`;
};

/** The class of a verdict, and the sign that stands before its word: nothing is said by colour alone. */
export const verdictClass = (word) => (word.startsWith("too close") ? "too-close" : word);
export const verdictSign = (word) => ({ fits: "✓", clashes: "✗" })[word] ?? "≈";
export const verdictWords = (word) => `${verdictSign(word)} ${word}`;
