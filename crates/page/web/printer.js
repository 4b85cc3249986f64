// Printer: which one the family is printed on, its coupon with what was read of it, and what that tells.

import { listQueue, sizeList } from "./fields.js";
import { labelled, make, withDoubt } from "./make.js";
import { link } from "./made.js";
import { undoLast } from "./ways.js";
import { ask, tell } from "./wire.js";

export function printerTab(main, page) {
  const head = make("div", {}, make("p", {}, "One moment…"));
  const said = make("div", { role: "status" });
  const queue = listQueue(page, said, () => {});
  let entries = 0;
  let folder = "";
  const list = sizeList(page, queue, { more: () => ({ coupon: true, printer: folder, known: entries }) });
  const foot = make("div");
  main.append(head, said, list.element, foot);
  let rev = null;

  async function update() {
    if (rev === page.state.rev) return;
    rev = page.state.rev;
    try {
      const known = await ask("printer");
      const { printer } = known;
      const isKnown = printer && !printer.why;
      head.replaceChildren(...isKnown ? about(printer) : [make("p", {}, printer?.why ?? "The family says itself what its printer can do, and its parts are drawn at nominal size. A coupon tells what your printer makes of a size.")]);
      entries = printer?.entries ?? 0;
      folder = printer?.folder ?? "";
      list.show(isKnown ? printer.sizes.map((size) => ({ ...size, what: `${size.number}  ${size.what}` })) : []);
      foot.replaceChildren(...isKnown ? [...does(printer), ...can(printer)] : [], choose(known));
    } catch (e) {
      head.replaceChildren(make("p", {}, e.message));
    }
  }

  function about(printer) {
    const left = printer.missing ? `${printer.missing} of ${printer.sizes.length} sizes are still to be read.` : "All of it has been read.";
    const toFile = (ending, words, attributes = {}) => link("coupon", `${printer.slug}-coupon${ending}`, attributes, words);
    return [
      make("h2", {}, printer.title),
      make("p", { class: "note" }, `${printer.material}; in ${printer.folder}`),
      ...printer.problems.map((words) => make("p", { class: "said bad" }, words)),
      make("h2", {}, "Its coupon"),
      make("p", {}, "A test piece of 10 g: print it as you print your parts, read all of it, and enter what you read. ",
        toFile(".3mf", "3MF"), " ", toFile(".stl", "STL"), " ",
        toFile("-sheet.pdf", "Its sheet (PDF)", { download: null, target: "_blank" })),
      make("p", { role: "status" }, left),
    ];
  }

  /** What its file says that it can do, each to be said otherwise. */
  const can = (printer) => [
    make("h2", {}, "What it can do"),
    ...printer.abilities.map((ability) => {
      const id = `printer-${ability.name}`;
      const words = make("span", { class: "said", role: "status" });
      const value = ability.words
        ? make("select", { id }, ability.words.map(([word, title]) => make("option", { value: word, selected: word === ability.value }, title)))
        : make("input", { id, autocomplete: "off", value: ability.value ?? "", placeholder: ability.value === null ? "as is usual" : "" });
      const set = async () => {
        if (value.value.trim() === (ability.value ?? "")) return;
        try {
          await tell("ability", { name: ability.name, value: value.value, rev: page.state.rev });
          await page.refresh();
          page.done(`The printer's ${ability.name.replace("_", " ")} is ${value.value} now, before ${ability.value ?? "as is usual"}.`);
        } catch (e) {
          words.textContent = e.message;
          words.classList.add("bad");
        }
      };
      if (ability.words) value.addEventListener("change", set);
      else value.addEventListener("keydown", (event) => event.key === "Enter" && set());
      return make("div", { class: "wish able" },
        make("label", { for: id }, make("span", { class: "named" }, ability.name.replace("_", " ")), make("span", { class: "note" }, ability.what)),
        value, ability.words ? words : make("span", { class: "row" }, make("button", { type: "button", "aria-label": `Keep it: ${ability.name.replace("_", " ")}`, onclick: set }, "Keep it"), words));
    }),
  ];

  const does = (printer) => printer.does ? [
    make("h2", {}, "What it does"),
    make("p", { class: "note" }, `By ${printer.from}.`),
    make("ul", {}, printer.does.map((one) => make("li", {}, `${one.label} ${withDoubt(one.value, one.u)}`))),
  ] : [];

  const name = (body) => async () => {
    try {
      await tell("printer", body());
      await page.refresh();
      page.done("The family names its printer now.", true);
    } catch (e) {
      page.done(e.message);
    }
  };

  function choose(known) {
    const folder = make("input", { placeholder: "mine", autocomplete: "off" });
    const material = make("select", {}, known.materials.map(([word, title]) => make("option", { value: word }, title)));
    return make("details", { open: !known.printer }, make("summary", {}, known.printer ? "Another printer" : "Name a printer"),
      known.others.length ? make("div", { class: "row" }, known.others.map((other) =>
        make("button", { type: "button", onclick: name(() => ({ folder: other.folder })) }, `Print on ${other.title}`))) : null,
      make("div", { class: "row" }, labelled("Start one in the folder", folder), labelled("It prints", material),
        make("button", { type: "button", class: "press", onclick: name(() => ({ folder: folder.value.trim(), material: material.value })) }, "Start it")),
      make("p", { class: "note" }, "Its folder comes beside the family's. Another filament is another printer."),
      page.state.undo?.path === "printer" ? make("button", { type: "button", onclick: () => undoLast(page, page.done) }, "Undo: no longer this printer") : null);
  }

  update();
  return { update, close: () => queue.show(null) };
}
