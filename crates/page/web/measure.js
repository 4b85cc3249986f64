// Measure: the drawing with its blanks, the list of all readings, and the log.

import { make, labelled, mm, withDoubt } from "./make.js";
import { tell } from "./wire.js";

export function measureTab(main, page) {
  /** Names to what is typed, and to the inputs that show it. */
  const typed = new Map();
  const inputs = new Map();
  const rows = new Map();
  let drawings = [];
  let current = null;
  let built = null;
  const log = make("section");

  const entry = entryPanel(page, {
    typed,
    done: (name) => {
      typed.delete(name);
      for (const input of inputs.get(name) ?? []) input.value = "";
    },
    /** The inputs after this one, in the order of the list. */
    next: (name) => inputs.get(nextAfter(page.state, name))?.at(-1)?.focus(),
  });

  const known = (name) => page.state.quantities.find((q) => q.name === name);

  function input(name, attributes) {
    const one = make("input", { autocomplete: "off", inputmode: "text", enterkeyhint: "done", value: typed.get(name) ?? "", ...attributes });
    one.addEventListener("focus", () => {
      current = name;
      entry.about(known(name));
    });
    one.addEventListener("input", () => {
      typed.set(name, one.value);
      for (const other of inputs.get(name)) if (other !== one) other.value = one.value;
      entry.tryIt();
    });
    one.addEventListener("keydown", (event) => {
      if (event.key === "Enter") entry.enter();
      if (event.key === "Escape") entry.clear();
    });
    inputs.set(name, [...(inputs.get(name) ?? []), one]);
    return one;
  }

  function drawing(drawn) {
    const paper = make("div", { "aria-hidden": "true" });
    paper.innerHTML = drawn.svg;
    const blanks = drawn.spots.map((spot) => {
      const quantity = page.state.quantities[spot.number - 1];
      const blank = input(quantity.name, { class: "blank", "aria-label": `${quantity.what}, on the drawing` });
      blank.style.left = `${100 * spot.x}%`;
      blank.style.top = `${100 * spot.y}%`;
      return blank;
    });
    drawings.push({ position: drawn.position, paper });
    return make("section", {},
      make("h2", {}, `Where to read: ${drawn.position}`),
      make("p", { class: "note" }, "Above: seen from above, neck up. Below: cut along the row of strings. Not to scale."),
      make("div", { class: "wide card", tabindex: "0", role: "region", "aria-label": `Drawing: ${drawn.position}` }, make("div", { class: "drawing" }, paper, blanks)));
  }

  function row(quantity) {
    const stands = make("span", { class: "num" });
    const name = make("span", { class: "what" }, quantity.what, make("div", { class: "note" }, quantity.how));
    const one = make("div", { class: "reading" }, make("span", { class: "num" }, `${quantity.number}`), name,
      input(quantity.name, { "aria-label": quantity.what, "data-name": quantity.name, placeholder: "mm, or 3.63in" }), stands);
    rows.set(quantity.name, { one, stands });
    return one;
  }

  function list(title, quantities) {
    return make("section", {}, make("h2", {}, title), make("div", { class: "readings" }, quantities.map(row)));
  }

  function build() {
    inputs.clear();
    rows.clear();
    drawings = [];
    const { quantities, positions } = page.state;
    const of = (position) => quantities.filter((q) => q.position === position);
    main.replaceChildren(
      ...page.state.drawings.map(drawing),
      list("Strings, rods and screws", of(null)),
      ...positions.map((p) => list(p, of(p))),
      log,
      entry.panel,
    );
  }

  function update() {
    const names = page.state.quantities.map((q) => q.name).join();
    if (built !== names) build();
    built = names;
    for (const { position, paper } of drawings) {
      const drawn = page.state.drawings.find((d) => d.position === position);
      if (drawn && paper.drawn !== drawn.svg) {
        paper.innerHTML = drawn.svg;
        paper.drawn = drawn.svg;
      }
    }
    for (const quantity of page.state.quantities) showQuantity(quantity);
    showLog(log, page);
    if (current) entry.about(known(current));
  }

  function showQuantity(quantity) {
    const next = page.state.next === quantity.name;
    for (const one of inputs.get(quantity.name)) {
      if (one.classList.contains("blank")) {
        one.placeholder = quantity.value === null ? `${quantity.number}` : mm(quantity.value);
      }
      one.classList.toggle("missing", quantity.missing);
      one.classList.toggle("next", next);
    }
    const { one, stands } = rows.get(quantity.name);
    one.classList.toggle("next", next);
    stands.textContent = standing(quantity);
  }

  update();
  return { update };
}

/** What is known of a quantity, in words. */
function standing(quantity) {
  if (quantity.value === null && quantity.untilRead && !quantity.waits) return `not read: taken ${quantity.untilRead}`;
  if (quantity.value === null) return !quantity.missing && !quantity.waits ? "not needed, but it checks the others" : quantity.waits ? `read, but it needs ${quantity.waits}` : "not read yet";
  const often = quantity.readings === null ? "from the packet" : quantity.readings === 1 ? "read once" : `read ${quantity.readings} times`;
  const again = quantity.again ? `; read it ${quantity.again === 1 ? "once" : `${quantity.again} times`} more${quantity.spot ? ` at ${quantity.spot}` : ""}` : "";
  return `${withDoubt(quantity.value, quantity.u)}, ${often}${again}`;
}

function nextAfter(state, name) {
  const at = state.quantities.findIndex((q) => q.name === name);
  const later = [...state.quantities.slice(at + 1), ...state.quantities.slice(0, at)];
  return (later.find((q) => q.missing) ?? later[0]).name;
}

/** The panel that says what is being entered and what it would change. */
function entryPanel(page, { typed, done, next }) {
  let quantity = null;
  let asked = 0;
  const title = make("strong");
  const how = make("p", { class: "note" });
  const ways = make("select");
  const within = make("input", { size: 6 });
  const spot = make("input", { size: 10, list: "spots" });
  const tool = make("select");
  const afresh = make("input", { type: "checkbox" });
  const said = make("p", { class: "said", "aria-live": "polite" });
  const written = make("p", { class: "note written", role: "status" });
  const press = make("button", { type: "button", class: "press", onclick: () => enter() }, "Enter it");
  const withinLabel = labelled("within ±", within);
  const panel = make("section", { class: "card entry", "aria-label": "The reading", hidden: true },
    make("div", { class: "row" }, title),
    how,
    make("div", { class: "row" }, labelled("what the caliper touched", ways), withinLabel, labelled("spot (if read in several)", spot),
      labelled("with", tool), labelled("cut again since", afresh), press),
    make("datalist", { id: "spots" }, ["bass end", "treble end", "middle", "top", "bottom"].map((s) => make("option", { value: s }))),
    said, written);
  for (const one of [ways, within, spot, tool, afresh]) {
    one.addEventListener("input", () => {
      withinLabel.hidden = ways.value !== "packet";
      tryIt();
    });
  }

  const body = () => ({
    of: quantity.name, figures: typed.get(quantity.name) ?? "", how: ways.value, within: ways.value === "packet" ? within.value : "",
    with: ways.value === "packet" ? "" : tool.value, spot: spot.value, afresh: afresh.checked,
  });
  const say = (words, bad = false) => {
    said.textContent = words;
    said.classList.toggle("bad", bad);
  };

  function about(one) {
    if (quantity?.name !== one.name) {
      ways.replaceChildren(...one.ways.map(([word, means]) => make("option", { value: word }, means)));
      spot.value = one.spot ?? "";
      afresh.checked = false;
      withinLabel.hidden = true;
      tool.replaceChildren(make("option", { value: "" }, "the usual tool"), ...page.state.tools.map((t) => make("option", { value: t }, t)));
      say("Several readings of the same thing: put a space between them. Inches: 3.631in or 29/64in.");
    }
    quantity = one;
    panel.hidden = false;
    title.textContent = `${one.number}  ${one.what}: ${standing(one)}`;
    how.textContent = one.how;
    if (typed.get(one.name)) tryIt();
  }

  /** What the reading would make of the family; an answer that is overtaken by a later one is dropped. */
  async function tryIt() {
    const turn = ++asked;
    if (!typed.get(quantity.name)?.trim()) {
      page.verdict(page.state.fit);
      say("");
      return;
    }
    try {
      const would = await tell("try", body());
      if (turn !== asked) return;
      page.tried = would.fit;
      if (would.fit) page.verdict(would.fit, true);
      say([`would be ${standing(would.quantity)}`, ...would.news].join(". "), would.news.length > 0);
    } catch (e) {
      if (turn !== asked) return;
      page.verdict(page.state.fit);
      say(e.message, true);
    }
  }

  async function enter() {
    if (!typed.get(quantity.name)?.trim()) return;
    const name = quantity.name;
    asked += 1;
    try {
      const entered = await tell("read", body());
      done(name);
      await page.refresh();
      say(entered.news.join(" "), entered.news.length > 0);
      written.textContent = `Entry ${entered.entry} is in the log: ${entered.text}`;
      if (!entered.news.length) next(name);
    } catch (e) {
      say(e.message, true);
    }
  }

  function clear() {
    done(quantity.name);
    tryIt();
  }
  return { panel, about, tryIt, enter, clear };
}

/** The log, the latest entry first, each reading with what takes it back. */
function showLog(place, page) {
  const line = (entry) => {
    const cells = [make("td", { class: "num" }, `${entry.number}`), make("td", {}, make("code", {}, entry.text)), make("td", {})];
    if (entry.of && !entry.counts) cells[2].append("does not count");
    if (entry.counts) cells[2].append(withdrawal(entry, page));
    return make("tr", {}, cells);
  };
  const open = place.querySelector("details")?.open ?? false;
  place.replaceChildren(make("details", { open },
    make("summary", {}, `The log: ${page.state.entries.length} entries`),
    make("p", { class: "note" }, "Nothing is ever taken out of it. A wrong entry is withdrawn by a later one."),
    make("table", {}, make("tbody", {}, page.state.entries.toReversed().map(line)))));
}

function withdrawal(entry, page) {
  const why = make("input", { "aria-label": `Why entry ${entry.number} is wrong`, placeholder: "why?", size: 14 });
  const send = async () => {
    try {
      await tell("withdraw", { entry: entry.number, why: why.value });
      await page.refresh();
    } catch (e) {
      page.warn(e.message);
    }
  };
  why.addEventListener("keydown", (event) => event.key === "Enter" && send());
  return make("span", { class: "row" }, why, make("button", { type: "button", onclick: send }, `Withdraw entry ${entry.number}`));
}
