// Wind and Versions: what the program's sheets say, with their pictures.

import { labelled, make } from "./make.js";
import { link, madeTab } from "./made.js";
import { step } from "./step.js";
import { winder } from "./winder.js";
import { ask, fileAt, tell } from "./wire.js";

const picture = (what, name, alt) =>
  make("figure", {}, make("img", { src: fileAt(what, name), alt, loading: "lazy" }), make("figcaption", {}, make("a", { href: fileAt(what, name), download: name }, name)));

const facts = (position, pairs) =>
  make("div", { class: "wide", tabindex: "0", role: "region", "aria-label": `The coil: ${position}` },
    make("table", {}, make("tbody", {}, pairs.map(([label, words]) => make("tr", {}, make("th", { scope: "row" }, label), make("td", {}, words))))));

/** Begins a coil: wire and turns, the rest as is usual. */
function beginCoil(page) {
  const gauge = make("select", {}, [40, 41, 42, 43, 44, 45, 46].map((number) => make("option", { value: number, selected: number === 42 }, `AWG ${number}`)));
  const film = make("select", {}, [["single", "single film"], ["heavy", "heavy film"]].map(([word, means]) => make("option", { value: word }, means)));
  const turns = make("input", { inputmode: "numeric", value: "7500", size: 7 });
  const begin = async () => {
    const value = `(wire: awg(number: ${gauge.value}, film: ${film.value}), wind: turns(${Number(turns.value)}))`;
    try {
      // It is added, whatever else was written meanwhile.
      await page.refresh();
      const done = await tell("value", { path: "coil", position: page.state.positions[0], value, anyway: true, rev: page.state.rev });
      await page.refresh();
      page.done(done.refused ?? "The coil is stated; Want has the rest of it.", true);
    } catch (e) {
      page.done(e.message);
    }
  };
  return make("div", { class: "card" }, make("h2", {}, "Begin a coil"),
    make("p", { class: "note" }, "For all positions, as is usual in tape, packing and start; each can be changed on Want."),
    make("div", { class: "row" }, labelled("Wire", gauge), labelled("Film", film), labelled("Turns", turns),
      make("button", { type: "button", class: "press", onclick: begin }, "Begin it")));
}

const hasCoil = (page) => page.state.wishes.some((wish) => wish.path.startsWith("coil"));

export function windTab(main, page) {
  const begin = make("div");
  main.append(begin, step(page));
  const tab = wound(main, page);
  let stops = null;
  const update = () => {
    if (!hasCoil(page)) begin.replaceChildren(beginCoil(page));
    // What is half typed there stays.
    else if (!stops) begin.replaceChildren(stops = winder(page));
    tab.update();
  };
  update();
  return { ...tab, update };
}

const wound = madeTab("wind", (made, page) => [
  make("p", {}, link("wind", `${page.state.slug}-winding.pdf`, { download: null, target: "_blank" }, "The sheets to stand beside the winder (PDF)")),
  ...made.words.positions.flatMap((one) => [
    make("h2", {}, one.position),
    facts(one.position, one.facts),
    make("div", { class: "pictures" }, ["rods", "section", "response", "field"]
      .map((kind) => `${one.position}-${kind}.svg`)
      .filter((name) => made.files.some(([file]) => file === name))
      .map((name) => picture("wind", name, name.replace(".svg", "").replaceAll("-", " ")))),
  ]),
  make("div", {}, made.words.together.map((line) => make("p", {}, line))),
  ...made.words.next.flatMap((one) => [
    make("h2", {}, `${one.position}, the next coil`),
    make("p", { class: "note" }, "As it is wanted now, which the coil on the bobbin can't become. It is begun at its first stop, entered as begun anew."),
    facts(`${one.position}, the next one`, one.facts),
  ]),
  made.words.next.length
    ? make("p", {}, link("wind", `next-${page.state.slug}-winding.pdf`, { download: null, target: "_blank" }, "The sheets of the next coils (PDF)"))
    : "",
  make("p", { class: "note" }, "Solder and wax are hot, magnets snap together, fine wire finds eyes: the sheet's cautions hold here too; follow the makers' safety sheets and local rules."),
]);

/** What the program prints: its headings, and what is indented under each as a list. */
const told = (text) => {
  const sections = [];
  for (const line of text.split("\n").filter(Boolean)) {
    if (!line.startsWith(" ")) sections.push([line.replace(/:$/, ""), []]);
    else sections.at(-1)[1].push(make("li", {}, line.trim()));
  }
  return make("div", {}, sections.map(([head, lines]) =>
    make("section", {}, lines.length ? [make("h2", {}, head), make("ul", {}, lines)] : make("p", {}, head))));
};

const sinceTab = madeTab("versions", (made) => [
  make("p", { class: "note" }, `Compared with ${made.words.compared_with}.`),
  ...made.words.unknown.map((words) => make("p", { class: "note" }, words)),
  made.words.nothing
    ? make("p", {}, "Nothing changed since; all printed parts can stay.")
    : told(made.words.text),
  make("div", { class: "pictures" }, made.files.filter(([name]) => name.endsWith(".svg"))
    .map(([name]) => picture("versions", name, `${name.replace(".svg", "")}: what comes off and on`))),
]);

/** What changed since parts were printed; and any two versions beside each other. */
export function versionsTab(main, page) {
  const tab = sinceTab(main, page);
  const options = make("div", { class: "row" });
  const found = make("div", { role: "status" });
  main.append(make("h2", {}, "Any two"), options, found);

  const drawn = ({ name, svg }) => {
    const drawing = make("div", { role: "img", "aria-label": `${name}: what comes off and on` });
    drawing.innerHTML = svg;
    return make("figure", {}, drawing, make("figcaption", {}, name));
  };
  async function choices() {
    const all = await ask("versions");
    // What was chosen stays chosen, as long as it is there.
    const before = [...options.querySelectorAll("select")].map((select) => select.value);
    const one = (number, usual) => {
      const kept = all.findIndex(([word]) => word === before[number]);
      return make("select", {}, all.map(([word, means], i) => make("option", { value: word, selected: i === (kept < 0 ? usual : kept) }, means)));
    };
    const [from, to] = [one(0, Math.min(1, all.length - 1)), one(1, 0)];
    const compare = async () => {
      found.replaceChildren(make("p", {}, "One moment…"));
      try {
        const changes = await ask(`between/${encodeURIComponent(from.value)}/${encodeURIComponent(to.value)}`);
        found.replaceChildren(changes.nothing ? make("p", {}, "Nothing differs.") : told(changes.text), make("div", { class: "pictures" }, changes.pictures.map(drawn)));
      } catch (e) {
        found.replaceChildren(make("p", {}, e.message));
      }
    };
    options.replaceChildren(labelled("From", from), labelled("to", to), make("button", { type: "button", onclick: compare }, "Compare"));
  }
  const update = () => {
    tab.update();
    choices().catch((e) => found.replaceChildren(make("p", {}, e.message)));
  };
  update();
  return { ...tab, update };
}
