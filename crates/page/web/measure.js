// Measure: the drawing with its blanks, and the list of all readings.

import { isStated, nextAfter, standing, wantsMore } from "./asked.js";
import { asTyped, make } from "./make.js";
import { entryPanel } from "./panel.js";
import { entryQueue } from "./queue.js";
import { link } from "./made.js";

export function measureTab(main, page) {
  /** Names to the inputs that show what is typed. */
  const inputs = new Map();
  const rows = new Map();
  let drawings = [];
  let current = null;
  let built = null;

  const known = (name) => page.state.quantities.find((q) => q.name === name);
  page.queue ??= entryQueue(page);
  const { queue } = page;
  const { typed } = queue;
  queue.show({
    taken: (reading, entered) => {
      if (entered.news.length) odd.set(reading.of, entered.news.join(" "));
      entry.written(entered, known(reading.of));
    },
    refused: () => entry.tone(false),
    changed: showQueue,
  });
  const entry = entryPanel(page, { typed, queue, take, type: put, drawingOf: (name) => drawingOf(name), moved, goOn, toRow: (name) => inputs.get(name)?.at(-1).focus() });

  const toWords = make("button", { type: "button", onclick: () => entry.words() }, "How it is read");

  /** What is odd about a quantity stands beside it until more is read of it. */
  const odd = new Map();

  function showQueue() {
    page.state.quantities.forEach(showQuantity);
    entry.recount();
    entry.odd([...odd].map(([of, said]) => (said.toLowerCase().includes(of) ? said : `${of}: ${said}`)));
    entry.refused(queue.refused.map(back));
    // Whatever stands in the panel is of something: of what was refused, where nobody went on yet.
    const first = queue.refused.map(({ reading }) => known(reading.of)).find((quantity) => quantity);
    if (first && !current) goOn(first.name);
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
      (entry.isAlone() ? entry.field : field)?.select();
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
    entry.mirror(name, figures);
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
    entry.entered();
    if (!isStated(reading.how) && wantsMore(quantity, queue)) {
      entry.again(quantity);
      return;
    }
    const after = nextAfter(page.state, queue, name);
    if (field === entry.field) {
      // The hand with the caliper stays where it is.
      goOn(after);
      return;
    }
    const next = inputs.get(after);
    const blank = field.classList.contains("blank") && next.find((one) => one.classList.contains("blank"));
    (blank || next.at(-1)).focus();
  }

  /** The screen was turned: all stands otherwise, and what is read is in sight again. */
  function moved() {
    build();
    if (current && entry.isAlone()) show(current);
  }

  /** What is to be read next, in the panel. */
  function goOn(name) {
    current = name;
    entry.about(known(name));
    show(name);
  }

  /** Brings the row of a quantity into sight, beside the panel. */
  function show(name) {
    for (const [of, { one }] of rows) one.classList.toggle("now", of === name);
    const row = rows.get(name)?.one.firstChild;
    if (row) scrollBy(0, row.getBoundingClientRect().top - entry.panel.getBoundingClientRect().bottom - 8);
  }

  /** Where one types is beside the panel, never under it, however much that has to say. */
  function uncover() {
    const active = document.activeElement;
    if (entry.isAlone() || ![...inputs.values()].flat().includes(active)) return;
    const covered = active.getBoundingClientRect().bottom + 8 - entry.panel.getBoundingClientRect().top;
    if (covered > 0) scrollBy(0, covered);
  }
  const grows = new ResizeObserver(uncover);
  grows.observe(entry.panel);

  /** The drawing on which a quantity is read, and where. */
  function drawingOf(name) {
    for (const drawn of page.state.drawings) {
      const spot = drawn.spots.find((at) => page.state.quantities[at.number - 1].name === name);
      if (spot) return { svg: drawn.svg, spot };
    }
    return null;
  }

  function input(name, attributes) {
    const one = make("input", { autocomplete: "off", inputmode: known(name).signed ? "text" : "decimal", enterkeyhint: "done", value: typed.get(name) ?? "", ...attributes });
    one.addEventListener("focus", () => {
      current = name;
      entry.about(known(name));
      // Where the panel is all that a screen has room for, one types there.
      if (entry.isAlone()) {
        entry.field.focus({ preventScroll: true });
        show(name);
        return;
      }
      uncover();
      // By keyboard the panel is one step away, not behind all rows that are left.
      rows.get(name)?.one.lastChild.append(toWords);
    });
    one.addEventListener("input", () => {
      typed.set(name, one.value);
      for (const other of inputs.get(name)) if (other !== one) other.value = one.value;
      entry.mirror(name, one.value);
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
      make("div", { class: "wide card", tabindex: "0", role: "region", "aria-label": `Drawing: ${drawn.position}` }, make("div", { class: "drawing plan" }, paper, blanks)));
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
    const inPanel = entry.panel.contains(active) && active;
    const place = at && { name: at[0], blank: active.classList.contains("blank"), caret: active.selectionStart };
    inputs.clear();
    rows.clear();
    drawings = [];
    const { quantities, positions } = page.state;
    const of = (position) => quantities.filter((q) => q.position === position);
    main.replaceChildren(
      ...entry.isAlone() ? [entry.panel] : [],
      ...page.state.drawings.map(drawing),
      list("Strings, rods and screws", of(null)),
      ...positions.map((p) => list(p, of(p))),
      make("p", {}, link("sheet", `${page.state.slug}-sheet.pdf`, {}, "All this as a sheet to print, with templates once everything is read (PDF)")),
      ...entry.isAlone() ? [] : [entry.panel],
    );
    quantities.forEach(showQuantity);
    // What is put in its place anew has lost the focus.
    if (inPanel) inPanel.focus({ preventScroll: true });
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
  if (page.reading && known(page.reading.of)) {
    const { of, typed: figures } = page.reading;
    if (figures) put(of, figures);
    goOn(of);
    entry.from(page.reading);
  }
  page.reading = null;
  const close = () => {
    queue.show(null);
    grows.disconnect();
    entry.close();
  };
  return { update, close };
}
