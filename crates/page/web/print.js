// Print: the plates, how each part lies and why, mass and time; and the files.

import { madeTab } from "./made.js";
import { make } from "./make.js";
import { fileAt, tell } from "./wire.js";

export const printTab = madeTab("print", shown);

const link = (name, words = name) => make("a", { href: fileAt("print", name), download: name }, words);

function shown(made, page) {
  const { plates, parts, profile } = made.words;
  const said = make("p", { class: "said", role: "status" });
  const build = make("button", { type: "button", onclick: async () => {
    try {
      const done = await tell("build");
      said.textContent = `${done.files} files are in ${done.folder}, ${done.changed.length || "none"} of them changed.`;
    } catch (e) {
      said.textContent = e.message;
    }
  } }, "Put the files into the build folder");
  return [
    make("div", { class: "row" },
      make("a", { class: "button", href: fileAt("print", "everything.zip"), download: `${page.state.slug}.zip` }, "Everything as a ZIP"), build),
    said,
    make("p", { class: "note" }, profile ? `Drawn for the printer ${profile.printer} (${profile.source}).` : "Drawn at nominal size: no printer's coupon was read."),
    make("h2", {}, "Plates"),
    make("div", { class: "pictures" }, plates.map((plate) => plateFigure(plate))),
    make("h2", {}, "Parts"),
    make("div", { class: "wide", tabindex: "0", role: "region", "aria-label": "Parts" }, make("table", {},
      make("thead", {}, make("tr", {}, ["Part", "Lies on", "Marked", "Mass", "Time", "Files"].map((h) => make("th", {}, h)))),
      make("tbody", {}, parts.map(partRow)))),
    make("h2", {}, "Drawings and sheets"),
    make("ul", {}, made.files.filter(([name]) => /-plan\.svg$|report|\.step$/.test(name) && !parts.some((p) => p.files.step === name))
      .map(([name]) => make("li", {}, link(name)))),
  ];
}

function plateFigure(plate) {
  const names = plate.parts.map((p) => p.id).join(", ");
  return make("figure", {},
    make("img", { class: "small", src: fileAt("print", plate.file.replace(".3mf", ".png")), alt: `Seen on the bed: ${names}` }),
    make("figcaption", {}, link(plate.file), `: ${names}; ${plate.cost.mass_g.toFixed(0)} g, ${plate.cost.time}`));
}

function partRow(part) {
  const { printed } = part;
  const chosen = printed.candidates.find((c) => c.on_bed === printed.on_bed) ?? {};
  const marks = (chosen.marks ?? []).map((m) => `${m.face} by ${m.by}`);
  return make("tr", {},
    make("th", { scope: "row" }, part.id),
    make("td", {}, `${printed.on_bed}${printed.chosen_by_builder ? " (as you said)" : ""}`),
    make("td", {}, marks.join(", ") || "—"),
    make("td", { class: "num" }, `${printed.cost.mass_g.toFixed(1)} g`),
    make("td", { class: "num" }, printed.cost.time),
    make("td", {}, link(part.files.stl, "STL"), " ", link(part.files.step, "STEP")));
}
