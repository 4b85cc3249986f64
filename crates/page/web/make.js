// Elements, made in one call each.

/** An element: `make("button", { class: "press", onclick }, "words", child)`. */
export function make(name, attributes = {}, ...children) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else if (key === "value" || key === "checked" || key === "disabled") element[key] = value;
    else element.setAttribute(key, value === true ? "" : value);
  }
  element.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

/** A label with its control under it. */
export const labelled = (words, control) => make("label", {}, words, control);

/** Millimetres as a person reads them, with a true minus sign. */
export const mm = (value, sign = false) => {
  const text = Math.abs(value).toFixed(2);
  if (Number(text) === 0) return text;
  return (value < 0 ? "\u2212" : sign ? "+" : "") + text;
};

/** `92.24 ± 0.02 mm`. */
export const withDoubt = (value, u) => `${mm(value)} ± ${mm(u)} mm`;

/** The class of a verdict, and the sign that stands before its word: nothing is said by colour alone. */
export const verdictClass = (word) => (word.startsWith("too close") ? "too-close" : word);
export const verdictSign = (word) => ({ fits: "✓", clashes: "✗" })[word] ?? "≈";
export const verdictWords = (word) => `${verdictSign(word)} ${word}`;
