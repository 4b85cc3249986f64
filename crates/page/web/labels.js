// Words in the 3D picture: what a gap is between and how large it is, and what was touched.

import { length, make, verdictClass } from "./make.js";

/** How far names stand from what they name, pixels. */
const AWAY = 74;

/** Words over a picture: `gap` shows a check's, `name` what is at a pixel; `paint` puts them where they belong. */
export function labelsOver(frame) {
  const layer = make("div", { class: "labels", "aria-hidden": "true" });
  const touched = make("span", { class: "tag", hidden: true });
  layer.append(touched);
  frame.append(layer);
  let gap = null;
  let words = [];

  const put = (one, [x, y]) => {
    // Words stay in the picture, wherever they belong.
    const [w, h] = [one.offsetWidth / 2 + 4, one.offsetHeight / 2 + 4];
    one.style.left = `${Math.max(w, Math.min(frame.clientWidth - w, x))}px`;
    one.style.top = `${Math.max(h, Math.min(frame.clientHeight - h, y))}px`;
  };

  return {
    /** The check whose gap is named; none any more. */
    gap(check, ends) {
      gap = check && ends;
      words.forEach((one) => one.remove());
      const [first, second] = check?.place.between ?? [];
      const size = check && `${length(Math.abs(check.margin))} ${check.margin < 0 ? "too little" : "to spare"}`;
      words = check ? [first, second === first ? "" : second, size].map((text) => make("span", { class: "tag", hidden: !text }, text)) : [];
      words[2]?.classList.add("size", verdictClass(check.verdict));
      layer.append(...words);
    },
    name(words, x, y) {
      touched.hidden = !words;
      touched.textContent = words ?? "";
      if (words) put(touched, [x, y - 28]);
    },
    paint(project) {
      if (!gap) return;
      const [a, b] = [project(gap.from), project(gap.to)];
      // Where the gap is counted towards, also of one that is less than nothing.
      const [ax, ay] = project(gap.from);
      const [tx, ty] = project(gap.ahead);
      const far = Math.hypot(tx - ax, ty - ay);
      const way = far > 1e-6 ? [(tx - ax) / far, (ty - ay) / far] : [1, 0];
      const spread = Math.min(AWAY, Math.min(frame.clientWidth, frame.clientHeight) * 0.3);
      const half = Math.hypot(b[0] - a[0], b[1] - a[1]) / 2;
      const middle = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
      const from = (by) => [middle[0] + way[0] * by, middle[1] + way[1] * by];
      put(words[0], from(-half - spread));
      const [ox, oy] = project(gap.other);
      const behind = (ox - b[0]) * way[0] + (oy - b[1]) * way[1];
      put(words[1], from(half + spread + Math.max(0, behind)));
      // Beside the dimension, not on it.
      put(words[2], [middle[0] - Math.abs(way[1]) * spread, middle[1] - Math.abs(way[0]) * 52]);
    },
  };
}
