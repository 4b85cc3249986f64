// Fit: the verdicts, worst first, each margin drawn to scale; and the place in the section and in 3D.

import { shape } from "./drawn.js";
import { make, verdictClass, verdictWords, withDoubt } from "./make.js";
import { actButtons, showWays, undoLast } from "./ways.js";

/** Margins beyond this are cut off, mm: what is decided is decided near nought. */
const REACH = 1.2;

export function fitTab(main, page) {
  let open = null;
  const last = make("div");
  const wholes = make("div");
  const toRead = make("div");
  const list = make("div", { role: "list", "aria-label": "Checks, worst first" });
  const lies = make("div");
  main.append(last, wholes, toRead, list, lies);

  function update() {
    const { fit } = page.state;
    last.replaceChildren(undoable(page) ?? "");
    toRead.replaceChildren();
    wholes.replaceChildren();
    if (!fit) {
      const first = page.state.next ? ` Next: ${page.state.next}.` : "";
      list.replaceChildren(make("p", {}, `There is no verdict yet.${first} See Measure, or what is said above.`));
      lies.replaceChildren();
      return;
    }
    wholes.replaceChildren(...fit.pickups.filter((whole) => whole.verdict !== "fits").map((whole) => make("p", { class: verdictClass(whole.verdict) }, whole.words)));
    const lines = page.state.to_do;
    if (lines.length) toRead.append(make("div", { class: "card" }, lines.map((line) => toDo(line, page))));
    // What clashes is no matter of readings.
    if (fit.verdict === "clashes") list.after(toRead);
    else list.before(toRead);
    list.replaceChildren(...fit.checks.map(item));
    lies.replaceChildren(...page.state.lies.map(lie));
  }

  /** How a cover lies in its rout; the drawing says what it is itself. */
  function lie({ position, svg }) {
    const drawing = make("div", { class: "drawing", "aria-hidden": "true" });
    drawing.innerHTML = svg;
    const label = `Drawing: how the cover lies in the rout, ${position}`;
    return make("section", {}, make("h2", {}, `How the cover lies: ${position}`),
      make("div", { class: "wide card", tabindex: "0", role: "region", "aria-label": label }, drawing));
  }

  function item(check) {
    const shown = open === check.id;
    const button = make("button", { type: "button", class: `check ${verdictClass(check.verdict)}`, "aria-expanded": `${shown}`,
      onclick: () => {
        open = shown ? null : check.id;
        update();
        list.querySelector('[aria-expanded="true"]')?.focus();
      } },
      make("span", {}, verdictWords(check.verdict)),
      make("span", {}, `${check.position}: ${check.title}`, check.assumed.length ? make("span", { class: "note" }, " (not all of it was measured)") : null,
        check.slip ? make("span", { class: "note" }, " (one slip of the hand would turn it)") : null),
      make("span", { class: "num" }, withDoubt(check.margin, check.u, true)),
      scale(check));
    return make("div", { role: "listitem" }, button, shown ? more(check, page) : null);
  }

  update();
  return { update };
}

/** A line of what to do at the bench, with what does it. */
const toDo = (line, page) =>
  make("div", {}, make("p", { class: line.words.startsWith(" ") ? "step" : null }, line.words.trim()), make("div", { class: "row" }, actButtons(line, page)));

/** What takes the last change back. */
function undoable(page) {
  const last = page.state.undo;
  return last && make("p", {}, make("button", { type: "button", onclick: () => undoLast(page, page.done) }, `Undo: ${last.path} ${last.value}`));
}

/** Nought, the margin, and two standard uncertainties on either side of it. */
function scale(check) {
  const x = (value) => 100 + 100 * Math.max(-1, Math.min(1, value / REACH));
  const drawing = shape("svg", { class: "scale", viewBox: "0 0 200 20", "aria-hidden": "true" });
  const line = (name, x1, y1, x2, y2) => drawing.append(shape("line", { class: name, x1, y1, x2, y2 }));
  line("axis", 0, 10, 200, 10);
  line("nought", 100, 1, 100, 19);
  line("doubt", x(check.margin - 2 * check.u), 10, x(check.margin + 2 * check.u), 10);
  for (const end of [-2, 2]) line("doubt", x(check.margin + end * check.u), 6, x(check.margin + end * check.u), 14);
  drawing.append(shape("circle", { class: "value", cx: x(check.margin), cy: 10, r: 4 }));
  return drawing;
}

function more(check, page) {
  const see = () => {
    page.place = check;
    page.show("Look");
  };
  const change = () => {
    page.wish = check.position + check.parameter;
    page.show("Want");
  };
  const advice = check.advice && make("p", { "aria-live": "polite" }, check.advice);
  const ways = make("div");
  // What was tried is worked out when somebody looks.
  if (advice) queueMicrotask(() => showWays(ways, advice, check, page));
  return make("div", { class: "more" },
    advice,
    ways,
    ...check.assumed.map((words) => make("p", {}, words)),
    check.slip && make("p", {}, check.slip),
    make("p", {}, `to spare ${withDoubt(check.margin, check.u)}; chance that it fits ${check.chance}${check.alone === check.chance ? "" : ` (of one by itself ${check.alone})`}`),
    make("ul", {}, check.figures.map((f) => make("li", {}, `${f.label}: ${withDoubt(f.value, f.u)}`))),
    make("div", { class: "row" },
      check.place ? make("button", { type: "button", onclick: see }, "Show the place, cut open") : null,
      check.parameter ? make("button", { type: "button", onclick: change }, `Change ${check.parameter}`) : null));
}
