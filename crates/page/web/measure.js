// Measure: the drawing with its blanks, the list of all readings, and the log.

import { asTyped, labelled, make, withDoubt } from "./make.js";
import { count, entryQueue } from "./queue.js";
import { tell } from "./wire.js";

export function measureTab(main, page) {
  /** Names to the inputs that show what is typed. */
  const inputs = new Map();
  const rows = new Map();
  let drawings = [];
  let current = null;
  let built = null;
  const log = make("section");

  const known = (name) => page.state.quantities.find((q) => q.name === name);
  page.queue ??= entryQueue(page);
  const { queue } = page;
  const { typed } = queue;
  queue.show({
    taken: (reading, entered) => {
      if (entered.news.length) odd.set(reading.of, entered.news.join(" "));
      entry.written(`Entry ${entered.entry} is in the log: ${entered.text}`);
    },
    changed: showQueue,
  });
  const entry = entryPanel(page, { typed, queue });

  /** What is odd about a quantity stands beside it until more is read of it. */
  const odd = new Map();

  function showQueue() {
    page.state.quantities.forEach(showQuantity);
    entry.odd([...odd].map(([of, said]) => `${of}: ${said}`));
    entry.refused(queue.refused.map(back));
  }

  /** A reading that was not taken, as it was said, and what to do with it. */
  function back(one) {
    const { reading, why } = one;
    const where = reading.spot ? ` at ${reading.spot}` : "";
    const again = () => {
      queue.drop(one);
      put(reading.of, reading.figures);
      const field = inputs.get(reading.of)?.at(-1);
      field?.focus();
      field?.select();
      entry.say(reading);
      entry.tryIt();
    };
    return make("p", { class: "said bad" }, `Not entered: ${reading.of}${where} ${reading.figures}. ${why} `,
      make("button", { type: "button", onclick: again }, "Put it back"),
      make("button", { type: "button", onclick: () => queue.drop(one) }, "Drop it"));
  }

  function put(name, figures) {
    typed.set(name, figures);
    for (const one of inputs.get(name) ?? []) one.value = figures;
  }

  /** Takes what is typed in a field, and goes on: nothing waits for the answer. */
  function take(name, field) {
    const figures = typed.get(name)?.trim();
    if (!figures) return;
    const quantity = known(name);
    const reading = entry.reading(quantity, figures);
    odd.delete(name);
    put(name, "");
    queue.add(reading);
    if (reading.how !== "packet" && wantsMore(quantity, queue)) {
      entry.again(quantity);
      return;
    }
    const next = inputs.get(nextAfter(page.state, queue, name));
    const blank = field.classList.contains("blank") && next.find((one) => one.classList.contains("blank"));
    (blank || next.at(-1)).focus();
  }

  function input(name, attributes) {
    const one = make("input", { autocomplete: "off", inputmode: known(name).signed ? "text" : "decimal", enterkeyhint: "done", value: typed.get(name) ?? "", ...attributes });
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
      if (event.key === "Enter") take(name, one);
      if (event.key === "Escape") {
        put(name, "");
        entry.tryIt();
      }
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
    const look = make("span", { class: "said bad" });
    const name = make("span", { class: "what" }, quantity.what, make("div", { class: "note" }, quantity.how));
    const one = make("div", { class: "reading" }, make("span", { class: "num" }, `${quantity.number}`), name,
      input(quantity.name, { "aria-label": quantity.what, "data-name": quantity.name, placeholder: page.state.unit === "in" ? "in, or 92.2mm" : "mm, or 3.63in" }), make("span", {}, stands, look));
    rows.set(quantity.name, { one, stands, look });
    return one;
  }

  function list(title, quantities) {
    return make("section", {}, make("h2", {}, title), make("div", { class: "readings" }, quantities.map(row)));
  }

  /** All anew, when quantities come or go; whoever is typing types on. */
  function build() {
    const active = document.activeElement;
    const at = [...inputs].find(([, all]) => all.includes(active));
    const place = at && { name: at[0], blank: active.classList.contains("blank"), caret: active.selectionStart };
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
    const again = place && inputs.get(place.name);
    if (!again) return;
    const field = (place.blank && again.find((one) => one.classList.contains("blank"))) || again.at(-1);
    field.focus({ preventScroll: true });
    field.setSelectionRange(place.caret, place.caret);
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
    if (current && known(current)) entry.about(known(current));
  }

  function showQuantity(quantity) {
    // One that came while another tab was shown is not here yet.
    if (!rows.has(quantity.name)) return;
    const next = page.state.next === quantity.name;
    for (const one of inputs.get(quantity.name)) {
      if (one.classList.contains("blank")) {
        one.placeholder = quantity.value === null ? `${quantity.number}` : asTyped(quantity.value);
      }
      one.classList.toggle("missing", quantity.missing);
      one.classList.toggle("next", next);
    }
    const { one, stands, look } = rows.get(quantity.name);
    one.classList.toggle("next", next);
    const waiting = queue.waiting(quantity.name);
    stands.textContent = standing(quantity) + (waiting ? `; ${waiting === 1 ? "one entry" : `${waiting} entries`} on the way` : "");
    look.textContent = odd.has(quantity.name) ? ` ${odd.get(quantity.name)}` : "";
  }

  update();
  showQueue();
  return { update, close: () => queue.show(null) };
}

/** What is known of a quantity, in words. */
function standing(quantity) {
  if (quantity.value === null && quantity.untilRead && !quantity.waits) return `not read: taken ${quantity.untilRead}`;
  if (quantity.value === null) return !quantity.missing && !quantity.waits ? "not needed, but it checks the others" : quantity.waits ? `read, but it needs ${quantity.waits}` : "not read yet";
  const often = quantity.readings === null ? "from the packet" : quantity.readings === 1 ? "read once" : `read ${quantity.readings} times`;
  const again = quantity.again ? `; read it ${quantity.again === 1 ? "once" : `${quantity.again} times`} more${quantity.spot ? ` at ${quantity.spot}` : ""}` : "";
  return `${withDoubt(quantity.value, quantity.u)}, ${often}${again}`;
}

/** How often a quantity was read in a spot, with what is on its way. */
function readIn(quantity, queue, spot) {
  const known = quantity.at.find(([at]) => (at ?? "") === spot)?.[1] ?? 0;
  const coming = queue.coming(quantity.name).filter((reading) => reading.spot === spot);
  return known + coming.reduce((sum, reading) => sum + count(reading.figures), 0);
}

/** The spots of a quantity that were read as often as they should be. */
function spotsRead(quantity, queue) {
  const spots = new Set([...quantity.at.map(([at]) => at ?? ""), ...queue.coming(quantity.name).map((reading) => reading.spot)]);
  return [...spots].filter((spot) => readIn(quantity, queue, spot) >= quantity.times);
}

/** Is there more to read of a quantity than was read and is on its way? */
function wantsMore(quantity, queue) {
  if (quantity.spots.length) return spotsRead(quantity, queue).length < quantity.spots.length;
  const coming = queue.coming(quantity.name).reduce((sum, reading) => sum + count(reading.figures), 0);
  return (quantity.readings ?? 0) + coming < quantity.times;
}

/** The spot to read next: the first that lacks something. */
function nextSpot(quantity, queue) {
  // A reading that is worth repeating is asked for where it counts, once.
  if (quantity.spot && !queue.coming(quantity.name).length) return quantity.spot;
  return quantity.spots.find((spot) => readIn(quantity, queue, spot) < quantity.times) ?? "";
}

/** The quantity after one: the next that nobody read or sent yet, or else simply the next. */
function nextAfter(state, queue, name) {
  const at = state.quantities.findIndex((q) => q.name === name);
  const later = [...state.quantities.slice(at + 1), ...state.quantities.slice(0, at)];
  const unread = (q) => (q.missing || q.untilRead) && !q.waits && !queue.coming(q.name).length;
  return (later.find(unread) ?? later[0]).name;
}

/** The panel that says what is being entered and what it would change. */
function entryPanel(page, { typed, queue }) {
  let quantity = null;
  let asked = 0;
  const title = make("strong");
  const how = make("p", { class: "note" });
  const ways = make("select");
  const within = make("input", { size: 6 });
  const spot = make("input", { size: 10, list: "spots" });
  const tool = make("select");
  const unit = make("select", {}, ["mm", "in"].map((word) => make("option", { value: word, selected: word === page.state.unit }, word)));
  const afresh = make("input", { type: "checkbox" });
  const said = make("p", { class: "said", "aria-live": "polite" });
  const odd = make("p", { class: "said bad odd", role: "status" });
  const refused = make("div", { class: "refused", role: "alert" });
  const written = make("p", { class: "note written", role: "status" });
  const field = () => document.querySelector(`.reading input[data-name="${CSS.escape(quantity.name)}"]`);
  const press = make("button", { type: "button", class: "press", onclick: () => field()?.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter" })) }, "Enter it");
  const withinLabel = labelled("within ±", within);
  const spots = make("datalist", { id: "spots" });
  const panel = make("section", { class: "card entry", "aria-label": "The reading", hidden: true },
    make("div", { class: "row" }, title),
    how,
    make("div", { class: "row" }, labelled("what the caliper touched", ways), withinLabel, labelled("spot (if read in several)", spot),
      labelled("with", tool), labelled("without a unit in", unit), labelled("cut again since", afresh), press),
    spots, said, odd, refused, written);
  for (const one of [ways, within, spot, tool, unit, afresh]) {
    one.addEventListener("input", () => {
      withinLabel.hidden = ways.value !== "packet";
      tryIt();
    });
  }

  /** What would be entered of a quantity as the panel stands. */
  const reading = (of, figures) => ({
    of: of.name, figures, how: ways.value, within: ways.value === "packet" ? within.value : "",
    with: ways.value === "packet" ? "" : tool.value, spot: spot.value.trim(), afresh: afresh.checked, unit: unit.value,
  });
  const say = (words, bad = false) => {
    said.textContent = words;
    said.classList.toggle("bad", bad);
  };

  function about(one) {
    if (quantity?.name !== one.name) {
      ways.replaceChildren(...one.ways.map(([word, means]) => make("option", { value: word }, means)));
      spot.value = nextSpot(one, queue);
      spots.replaceChildren(...[...new Set([...one.spots, "bass end", "middle", "treble end"])].map((s) => make("option", { value: s })));
      afresh.checked = false;
      withinLabel.hidden = true;
      tool.replaceChildren(make("option", { value: "" }, "the usual tool"), ...page.state.tools.map((t) => make("option", { value: t }, t)));
      say(unit.value === "in"
        ? "Several readings of the same thing: put a space between them. 3.631 or 29/64; millimetres with mm: 92.2mm."
        : "Several readings of the same thing: put a space between them. Inches with in, or as a fraction: 3.631in, 29/64.");
      asked += 1;
      page.verdict(page.state.fit);
    }
    quantity = one;
    panel.hidden = false;
    title.textContent = `${one.number}  ${one.what}: ${standing(one)}`;
    how.textContent = one.how;
    if (typed.get(one.name)) tryIt();
  }

  /** Ready for one more reading of the same: in the next spot, where it has spots. */
  function again(one) {
    asked += 1;
    spot.value = nextSpot(one, queue);
    afresh.checked = false;
    say(spot.value ? `Next: at its spot ${spot.value}.` : "Once more, with the caliper set on anew.");
    page.verdict(page.state.fit);
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
      const would = await tell("try", reading(quantity, typed.get(quantity.name)));
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

  return {
    panel, about, again, tryIt, reading,
    written: (words) => {
      written.textContent = words;
    },
    odd: (lines) => {
      odd.textContent = lines.join(" ");
    },
    refused: (all) => {
      panel.hidden &&= !all.length;
      refused.replaceChildren(...all);
    },
    /** The panel as it stood when a reading was typed. */
    say: (reading) => {
      ways.value = reading.how;
      within.value = reading.within;
      withinLabel.hidden = ways.value !== "packet";
      tool.value = reading.with;
      spot.value = reading.spot;
      unit.value = reading.unit;
      afresh.checked = reading.afresh;
    },
  };
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
