// Want: every wanted value with its unit, its bounds as they are now, where it comes from; and undo.

import { drawWishes, shape } from "./drawn.js";
import { length, make, verdictWords } from "./make.js";
import { unstated } from "./unstated.js";
import { shade } from "./shade.js";
import { Viewer } from "./viewer/viewer.js";
import { undoLast } from "./ways.js";
import { ask, sceneBytes, tell } from "./wire.js";

/** What wishes are about: their heads, and the parts that are drawn whole for them. */
const GROUPS = { cover: "Cover", baseplate: "Baseplate", flatwork: "Flatwork", poles: "Rods", magnets: "Magnets", seat: "How it sits", coil: "Coil", load: "What the coil works into", rout: "What the body has", on_bed: "On the printer's bed", other: "Other" };
const PARTS = { cover: ["cover"], baseplate: ["baseplate"], flatwork: ["flatwork-bottom", "flatwork-top"], poles: ["flatwork-bottom", "flatwork-top", "strings"], magnets: ["strings"], coil: ["flatwork-bottom", "flatwork-top"], seat: ["cover", "baseplate", "strings"] };
const groupOf = (path) => {
  const [word] = path.split(".");
  if (word === "north") return "magnets";
  if (word === "row") return "poles";
  return word in GROUPS ? word : "other";
};

export function wantTab(main, page) {
  const rows = new Map();
  const undo = make("button", { type: "button", onclick: () => undoLast(page, (words) => { said.textContent = words; }) });
  const said = make("p", { class: "said", role: "status" });
  const lists = make("div");
  const canvas = make("canvas", { tabindex: "0", role: "application", "aria-label": "The parts as they would be, in 3D" });
  const beside = make("div", { class: "beside" }, make("div", { class: "look" }, canvas));
  const shared = shape("svg", { class: "hidden", "aria-hidden": "true" });
  main.append(make("div", { class: "row" }, undo, said), shared, make("div", { class: "pair" }, lists, beside));
  const viewer = new Viewer(canvas, { onpick: () => {}, onlost: (gone) => beside.toggleAttribute("hidden", gone) });
  shade(viewer);
  let turn = 0;

  /** Shows the parts as they would be, or as they are; only where there is room to see them. */
  async function preview(body = null) {
    if (!beside.offsetParent) return;
    const mine = ++turn;
    try {
      const bytes = await sceneBytes(body);
      if (mine !== turn) return;
      viewer.show(bytes);
      performance.mark("scene shown");
    } catch {
      // What stands in the way is said beside the value.
    }
  }

  function update() {
    const { undo: last, wishes, positions } = page.state;
    undo.disabled = !last;
    undo.textContent = last ? `Undo: ${last.path} ${last.value}` : "Nothing to undo";
    const names = wishes.map((w) => w.position + w.path).join();
    let open = [];
    if (lists.names !== names) {
      lists.names = names;
      open = half();
      rows.clear();
      lists.replaceChildren(...positions.map((position) =>
        make("section", {}, make("h2", {}, position), groupsOf(wishes.filter((w) => w.position === position)), unstated(page, position))));
    }
    for (const wish of wishes) rows.get(wish.position + wish.path).show(wish);
    for (const [key, typed] of open) rows.get(key)?.reopen(typed);
    preview();
    draw();
    boundsOfAll();
  }

  /** What each wish is, as the parts are now; where there are none yet, nothing is drawn. */
  async function draw() {
    try {
      await drawWishes(shared, (position, path) => rows.get(position + path)?.picture);
    } catch (e) {
      said.textContent = e.message;
    }
  }

  /** Of what is in sight, two at a time, so that what is typed meanwhile is not kept waiting. */
  function boundsOfAll() {
    const mine = page.state.rev;
    // What was asked for is known, whatever else is opened.
    const left = [...rows.values()].filter((row) => row.isShown() && row.asksFor(mine));
    const lane = async () => {
      while (left.length && lists.isConnected && page.state.rev === mine) await left.shift().bounds();
    };
    lane();
    lane();
  }

  /** What belongs together under one head; where somebody is in it, its part stands out in the picture. */
  const groupsOf = (wishes) => Object.entries(GROUPS).map(([word, title]) => {
    const own = wishes.filter((wish) => groupOf(wish.path) === word);
    if (!own.length) return "";
    const group = make("details", { open: word === "cover" || own.some((wish) => wish.position + wish.path === page.wish) },
      make("summary", {}, title), own.map(one));
    group.addEventListener("toggle", () => group.open && boundsOfAll());
    group.addEventListener("focusin", () => standOut(own[0].position, word));
    return group;
  });

  /** Only what a group is about is drawn whole, cut along the row of strings where it lies inside. */
  function standOut(position, word) {
    viewer.only = position;
    const parts = PARTS[word];
    viewer.faded = new Set(parts ? ["cover", "baseplate", "flatwork-bottom", "flatwork-top", "strings"].filter((part) => !parts.includes(part)).map((part) => `${position}-${part}`) : []);
    viewer.fit();
  }

  function one(wish) {
    const row = wishRow(wish, page, preview);
    rows.set(wish.position + wish.path, row);
    return row.element;
  }

  /** What stands in the fields and was neither kept nor dropped. */
  function half() {
    return [...rows].map(([key, row]) => [key, row.open()]).filter(([, typed]) => typed !== null);
  }

  update();
  // It is still there when somebody comes back from another tab.
  for (const [key, typed] of page.halfWished ?? []) rows.get(key)?.reopen(typed);
  rows.get(page.wish)?.focus();
  page.wish = null;
  const close = () => {
    page.halfWished = half();
  };
  return { update, close, recolour: () => shade(viewer) };
}

/** `mm(1.40)` as `1.40`, `inch(0.06)` as `0.06in`; anything else as it is. */
const plain = (text) => {
  const found = /^(mm|inch)\(\s*([-.\d]+)\s*\)$/.exec(text);
  if (!found) return text;
  return found[1] === "mm" ? `${found[2]} mm` : `${found[2]} in`;
};

/** A wish's name under its group's head. */
const nameOf = (path) => (groupOf(path) === path.split(".")[0] && path.includes(".") ? path.slice(path.indexOf(".") + 1) : path).replace(/[._]/g, " ");

function wishRow(first, page, preview) {
  let wish = first;
  const id = `${wish.position}-${wish.path}`;
  const value = wish.words
    ? make("select", { id }, wish.words.map((word) => make("option", { value: word }, word)))
    : make("input", { id, autocomplete: "off", inputmode: wish.is_length && page.state.unit === "mm" ? "decimal" : "text" });
  const from = make("span", { class: "note" });
  const said = make("span", { class: "said", "aria-live": "polite" });
  const only = make("input", { type: "checkbox", "aria-label": `only for ${wish.position}` });
  const onlyHere = make("label", { hidden: true }, only, ` only for ${wish.position}`);
  const picture = make("div", { class: "pic" });
  const element = make("div", { class: wish.is_length || wish.words ? "wish" : "wish wordy" }, picture, make("label", { for: id, title: `${wish.path} in family.ron` }, make("span", { class: "named" }, nameOf(wish.path)), make("span", { class: "note" }, wish.what)), value, make("div", {}, from, " ", onlyHere, " ", said));
  let turn = 0;
  /** Something stands in the field that was neither kept nor dropped. */
  let isOpen = false;
  /** The files for which its bounds were asked. */
  let askedFor = null;

  const body = (anyway = false) => ({
    path: wish.path, position: wish.position, value: value.value.replace(/\s*(mm|in)\s*$/, "$1"), only: only.checked, anyway, rev: page.state.rev,
  });
  const say = (words, bad, ...more) => {
    said.replaceChildren(words, ...more);
    said.classList.toggle("bad", bad);
  };
  const changed = () => value.value.trim() !== plain(wish.text);

  /** What it can be now; only a length has bounds. */
  async function bounds() {
    if (!wish.is_length || askedFor === page.state.rev) return;
    askedFor = page.state.rev;
    try {
      const found = await ask(`bounds?path=${wish.path}&position=${wish.position}`);
      if (found) from.textContent = `${origin(wish)} can be ${found.words} now`;
    } catch (e) {
      say(e.message, true);
    }
  }

  async function tryIt() {
    const mine = ++turn;
    if (!changed()) {
      page.verdict(page.state.fit);
      say("", false);
      preview();
      return;
    }
    preview(body());
    try {
      const would = await tell("tryvalue", body());
      if (mine !== turn) return;
      if (would.fit) page.verdict(would.fit, true);
      say(would.refused ?? [outcome(would.fit, page.state.fit), "press Enter to keep it"].filter(Boolean).join("; "), Boolean(would.refused));
    } catch (e) {
      if (mine === turn) say(e.message, true);
    }
  }

  function drop() {
    isOpen = false;
    value.value = plain(wish.text);
    tryIt();
  }

  async function set(anyway = false) {
    if (!changed()) return;
    turn += 1;
    try {
      const done = await tell("value", body(anyway));
      isOpen = Boolean(done.refused);
      if (done.refused) {
        say(done.refused, true, " ", make("button", { type: "button", onclick: () => set(true) }, "Write it all the same"));
        return;
      }
      await page.refresh();
      say("written", false);
    } catch (e) {
      say(e.message, true);
      await page.refresh();
    }
  }

  value.addEventListener("focus", () => {
    onlyHere.hidden = page.state.positions.length < 2;
  });
  value.addEventListener("input", () => {
    isOpen = !wish.words;
    if (wish.words) set();
    else tryIt();
  });
  // A phone has no Enter that anybody sees: what is left standing says that it is not kept.
  value.addEventListener("blur", () => {
    // What was refused has its own button.
    if (!isOpen || !changed() || said.querySelector("button")) return;
    leave();
  });

  function leave() {
    turn += 1;
    say("typed, and not kept yet", true, " ",
      make("button", { type: "button", onclick: () => set() }, "Keep it"), " ",
      make("button", { type: "button", onclick: drop }, "Drop it"));
  }

  value.addEventListener("keydown", (event) => {
    if (event.key === "Enter") set();
    if (event.key === "Escape") drop();
  });

  function show(now) {
    const untouched = !isOpen || !changed() || wish.text !== now.text;
    wish = now;
    if (untouched) {
      value.value = wish.words ? wish.text : plain(wish.text);
      // What was asked about is gone; why it was not written stays.
      if (isOpen && said.querySelector("button")) say("", false);
      isOpen = false;
    }
    from.textContent = origin(wish);
  }
  return {
    element, picture, show, bounds,
    /** What stands in it and was neither kept nor dropped; null where nothing does. */
    open: () => (isOpen && changed() ? value.value : null),
    reopen: (typed) => {
      isOpen = true;
      value.value = typed;
      leave();
    },
    isShown: () => element.checkVisibility(), asksFor: (rev) => askedFor !== rev, focus: () => value.focus() };
}

/** What a value would make of the pickups, and which check it would turn. */
function outcome(fit, now) {
  if (!fit) return "";
  const were = new Map((now?.checks ?? []).map((check) => [check.id, check.verdict]));
  const [first, ...more] = fit.checks.filter((check) => were.has(check.id) && were.get(check.id) !== check.verdict);
  const turned = first ? `would turn ${first.position} ${first.title}: ${verdictWords(first.verdict)}${more.length ? `, and ${more.length} more` : ""}` : "";
  return [fit.pickups.map((p) => `${p.position} ${p.chance}`).join(", "), turned].filter(Boolean).join("; ");
}

/** Where a value comes from, when not from this family's own file; and what a worked-out one is. */
function origin(wish) {
  const worked = wish.mm !== null && !/^(mm|inch)\(/.test(wish.text) ? `now ${length(wish.mm)}; ` : "";
  return worked + (wish.from ? `stated by ${wish.from}; ` : "");
}
