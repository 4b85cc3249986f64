// Look: all parts in 3D.

import { make, labelled, length, withDoubt } from "./make.js";
import { labelsOver } from "./labels.js";
import { shade } from "./shade.js";
import { sceneBytes } from "./wire.js";
import { Viewer } from "./viewer/viewer.js";

const VIEWS = { corner: "from a corner", strings: "from the strings", body: "from the body", neck: "from the neck", bridge: "from the bridge" };

/** Where a cut through a place is looked at from: what is cut, and whether the far half is kept. */
const CUTS = { strings: ["z", false], bridge: ["y", true], neck: ["y", false], left: ["x", true], right: ["x", false] };

/** Parts of a check's position that its gap is not about. */
function faded({ position, parts, place: { between } }) {
  const named = (word) => between.some((one) => one.includes(word));
  const others = ["cover", "baseplate", "flatwork-bottom", "flatwork-top"].filter((part) => !parts.includes(part) && !named(part));
  if (!named("string")) others.push("strings");
  if (!named("rod")) others.push(...Array.from({ length: 24 }, (_, n) => `rod ${n + 1}`));
  return new Set(others.map((one) => `${position}-${one}`));
}

export function lookTab(main, page) {
  const pointer = "Press the picture first, then the wheel and fingers are its own.";
  const canvas = make("canvas", { tabindex: "0", role: "application", "aria-label": "The parts in 3D. Arrow keys turn, with shift they shift; plus and minus zoom; Home shows all." });
  const said = make("div", { class: "said", "aria-live": "polite" });
  const none = make("p", {});
  const frame = make("div", { class: "look" }, canvas);
  const labels = labelsOver(frame);
  const viewer = new Viewer(canvas, {
    onname: (name, x, y) => {
      labels.name(name, x, y);
      said.textContent = name ?? "";
    },
    onpaint: (project, across) => {
      frame.dataset.across = across;
      labels.paint(project);
    },
    onpick: (result) => said.replaceChildren(...result.lines.map((line) => make("div", { class: "num" }, line))),
    onlost: (gone) => {
      none.textContent = gone ? "This browser shows no 3D here (WebGL 2 is missing or switched off). The drawings and files are complete without it." : "";
    },
  });
  let rev = null;
  let alive = true;

  const range = (words, attributes, react) => {
    const one = make("input", { type: "range", ...attributes });
    one.addEventListener("input", () => react(Number(one.value)));
    return labelled(words, one);
  };
  const tick = (words, on, react) => {
    const one = make("input", { type: "checkbox", checked: on });
    one.addEventListener("input", () => react(one.checked));
    return make("label", { class: "row" }, one, words);
  };
  const pick = (options, react) => {
    const one = make("select", {}, options.map(([value, words]) => make("option", { value }, words)));
    one.addEventListener("input", () => react(one.value));
    return one;
  };

  const axis = pick([["", "not cut"], ["y", "along the row of strings"], ["x", "across the row of strings"], ["z", "level with the body's face"]], () => open());
  const at = make("input", { type: "range", step: 0.1, value: 0 });
  const flip = make("input", { type: "checkbox" });
  const where = make("span", { class: "num" });
  for (const one of [at, flip]) one.addEventListener("input", () => cut());

  /** Cuts as asked: where the slider stands, or at `there`. */
  function cut(there = Number(at.value)) {
    const opening = axis.value && viewer.opening(axis.value);
    if (!opening) {
      viewer.cut = null;
      where.textContent = "";
      return;
    }
    Object.assign(at, { min: Math.floor(opening.low), max: Math.ceil(opening.high), value: there });
    viewer.cut = { axis: axis.value, at: Number(at.value), flip: flip.checked };
    where.textContent = length(Number(at.value));
  }

  /** Cuts so that the inside is seen. */
  function open() {
    const opening = axis.value && viewer.opening(axis.value);
    if (opening) flip.checked = opening.flip;
    cut(opening?.at);
  }

  const shown = pick([["", "all positions"], ...page.state.positions.map((p) => [p, p])], (name) => {
    viewer.only = name || null;
    open();
    viewer.fit();
  });
  const [left, right] = page.state.handed === "left" ? ["treble", "bass"] : ["bass", "treble"];
  const views = { ...VIEWS, left: `from the ${left} side`, right: `from the ${right} side` };
  const view = pick(Object.entries(views), (from) => {
    viewer.look(from);
    open();
  });
  const measuring = make("button", { type: "button", "aria-pressed": "false", onclick: () => {
    const on = measuring.getAttribute("aria-pressed") !== "true";
    measuring.setAttribute("aria-pressed", on);
    viewer.choose(on ? "measure" : "turn");
    said.textContent = on ? "Touch a face, a hole or a corner; then another." : "";
  } }, "Distances");
  const tools = make("details", { open: matchMedia("(min-width: 46.01rem)").matches },
    make("summary", {}, "Cut, pull apart, measure"),
    make("div", { class: "row" },
      labelled("Cut ", axis), labelled("at ", at), where, make("label", { class: "row" }, flip, "the other half"),
      range("Pulled apart ", { min: 0, max: 1, step: 0.01, value: 0 }, pull), measuring,
      tick("rout, strings", true, (on) => { viewer.ghosts = on; }),
      tick("cover", true, (on) => {
        viewer.hidden = new Set(on ? [] : page.state.positions.map((p) => `${p}-cover`));
      })),
    make("p", { class: "note" }, pointer));
  const all = make("button", { type: "button", onclick: () => {
    whole();
    axis.value = "";
    cut();
    shown.value = "";
    viewer.only = null;
    viewer.look("corner");
    view.value = "corner";
    viewer.fit();
  } }, "All of it");
  main.append(make("div", { class: "row" }, labelled("Seen ", view), labelled("Of ", shown), all), none, frame, said, tools);

  /** All of it in sight again, however far apart it is. */
  function pull(apart) {
    viewer.pulled = apart;
    whole();
    viewer.fit();
  }

  /** No gap any more, and nothing faded. */
  function whole() {
    viewer.mark(null);
    viewer.faded = new Set();
    labels.gap(null);
  }

  const recolour = () => shade(viewer);

  async function update() {
    recolour();
    if (rev === page.state.rev) return;
    rev = page.state.rev;
    try {
      const bytes = await sceneBytes();
      if (!alive) return;
      viewer.show(bytes);
      none.textContent = "";
      goTo(page.place);
      performance.mark("scene shown");
    } catch (e) {
      none.textContent = e.message;
    }
  }

  /** A check's place: cut open there, marked, and what it says beside it. */
  function goTo(check) {
    page.place = null;
    if (!check?.place) return;
    shown.value = check.position;
    viewer.only = check.position;
    const { from, at: place, towards, beyond } = check.place;
    [axis.value, flip.checked] = CUTS[from];
    cut(place["xyz".indexOf(axis.value)]);
    view.value = from;
    viewer.look(from);
    const ahead = (by) => place.map((value, i) => value + by * towards[i]);
    const gap = { from: place, to: ahead(check.margin), ahead: ahead(1), other: ahead(check.margin + beyond) };
    viewer.faded = faded(check);
    labels.gap(check, gap);
    viewer.mark(gap);
    said.textContent = `${check.position}: ${check.title}. To spare ${withDoubt(check.margin, check.u, true)}.`;
  }

  update();
  return { update, recolour, close: () => { alive = false; }, viewer };
}
