// Wind and Versions: what the program's sheets say, with their pictures.

import { make } from "./make.js";
import { madeTab } from "./made.js";
import { fileAt } from "./wire.js";

const picture = (what, name, alt) =>
  make("figure", {}, make("img", { src: fileAt(what, name), alt, loading: "lazy" }), make("figcaption", {}, make("a", { href: fileAt(what, name), download: name }, name)));

const facts = (position, pairs) =>
  make("div", { class: "wide", tabindex: "0", role: "region", "aria-label": `The coil: ${position}` },
    make("table", {}, make("tbody", {}, pairs.map(([label, words]) => make("tr", {}, make("th", { scope: "row" }, label), make("td", {}, words))))));

export const windTab = madeTab("wind", (made, page) => [
  make("p", {}, make("a", { href: fileAt("wind", `${page.state.slug}-winding.pdf`), target: "_blank" }, "The sheets to stand beside the winder (PDF)")),
  ...made.words.positions.flatMap((one) => [
    make("h2", {}, one.position),
    facts(one.position, one.facts),
    make("div", { class: "pictures" }, ["rods", "section", "response", "field"]
      .map((kind) => `${one.position}-${kind}.svg`)
      .filter((name) => made.files.some(([file]) => file === name))
      .map((name) => picture("wind", name, name.replace(".svg", "").replaceAll("-", " ")))),
  ]),
  make("div", {}, made.words.together.map((line) => make("p", {}, line))),
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

export const versionsTab = madeTab("versions", (made) => [
  make("p", { class: "note" }, `Compared with ${made.words.compared_with}.`),
  ...made.words.unknown.map((words) => make("p", { class: "note" }, words)),
  made.words.nothing
    ? make("p", {}, "Nothing changed since; all printed parts can stay.")
    : told(made.words.text),
  make("div", { class: "pictures" }, made.files.filter(([name]) => name.endsWith(".svg"))
    .map(([name]) => picture("versions", name, `${name.replace(".svg", "")}: what comes off and on`))),
]);
