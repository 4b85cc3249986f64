// Print: the plates, how each part lies and why, mass and time; and the files.

import { link, madeTab } from "./made.js";
import { make } from "./make.js";
import { trial } from "./trial.js";
import { fileAt, tell } from "./wire.js";

const filesTab = madeTab("print", shown);

export function printTab(main, page) {
  const tab = filesTab(main, page);
  // What is half typed there stays.
  const tried = trial(page);
  main.append(tried.place);
  return {
    ...tab,
    update: () => {
      tab.update();
      tried.update();
    },
  };
}

/** What was taken last, kept on this device: which build it is of, and when. */
const takenAt = (page) => `bobbinwright ${page.state.home} taken`;
function taken(page) {
  try {
    return JSON.parse(localStorage.getItem(takenAt(page)));
  } catch {
    return null;
  }
}

/** Links to files of a build; that they were taken is remembered. */
const links = (page, mark) => (name, words = name, attributes = {}) => {
  const one = link("print", name, attributes, words);
  one.addEventListener("click", () => {
    try {
      localStorage.setItem(takenAt(page), JSON.stringify({ mark, at: new Date().toLocaleString() }));
    } catch {
      // Then it is not remembered, and the build as it is now is meant.
    }
  });
  return one;
};

/** Parts that clash are handed out to whoever says so. */
function asked(page, go) {
  const open = page.state.fit.checks.filter((check) => check.verdict === "clashes");
  const titles = open.map((check) => make("li", {}, `${check.position}: ${check.title}`));
  return [
    make("div", { class: "card" },
      make("p", { class: "clashes" }, `\u2717 Printed like this, the parts do not go together and in: ${open.length === 1 ? "one check clashes" : `${open.length} checks clash`}.`),
      make("ul", {}, titles),
      make("div", { class: "row" },
        make("button", { type: "button", class: "press", onclick: () => page.show("Fit") }, "See what to change"),
        make("button", { type: "button", onclick: go }, "Take them all the same"))),
  ];
}

function shown(made, page, again) {
  const clashes = page.state.fit?.verdict === "clashes";
  if (clashes && page.anyway !== page.state.rev) {
    return asked(page, () => {
      page.anyway = page.state.rev;
      again();
    });
  }
  const { plates, parts, profile, mark, sheets = [] } = made.words;
  const toFile = links(page, mark);
  const close = page.state.fit?.verdict !== "fits" && !clashes;
  const went = wentOnThePrinter(parts, page, mark);
  const said = make("p", { class: "said", role: "status" });
  const build = make("button", { type: "button", onclick: async () => {
    try {
      const done = await tell("build", { anyway: clashes });
      said.textContent = `${done.files} files are in ${done.folder}, ${done.changed.length || "none"} of them changed.`;
    } catch (e) {
      said.textContent = e.message;
    }
  } }, "Put the files into the build folder");
  return [
    make("div", { class: "row" },
      toFile("everything.zip", "Everything as a ZIP", { class: "button", download: `${page.state.slug}.zip` }), page.state.builds ? build : null),
    close ? make("p", { class: "too-close" }, "\u2248 Whether all of it goes together and in is too close to call: Fit says what would tell.") : null,
    said,
    make("p", { class: "note" }, profile ? `Drawn for the printer ${profile.printer} (${profile.source}).` : "Drawn at nominal size: no printer's coupon was read."),
    make("h2", {}, "Plates"),
    make("div", { class: "pictures" }, plates.map((plate) => plateFigure(plate, toFile))),
    sheets.length ? make("h2", {}, "Sheets to cut") : null,
    sheets.length ? make("div", { class: "pictures" }, sheets.map((sheet) => sheetFigure(sheet, toFile))) : null,
    sheets.length ? make("p", { class: "note" }, "The lines are the middle of the cut: let whatever drives the cutter make up for nothing. The layer called mark is scored only.") : null,
    make("h2", {}, "Parts"),
    make("div", { class: "wide", tabindex: "0", role: "region", "aria-label": "Parts" }, make("table", { class: "flow" },
      make("thead", {}, make("tr", {}, ["Printed", "Part", "Lies on", "Marked", "Mass", "Time", "Files"].map((h) => make("th", {}, h)))),
      make("tbody", {}, parts.map((part) => partRow(part, went.ticks.get(part.id), toFile))))),
    ...went.shown,
    make("h2", {}, "On the bench"),
    onTheBench(page),
    make("h2", {}, "Drawings and sheets"),
    make("ul", {}, made.files.filter(([name]) => /-plan\.svg$|report|\.step$/.test(name) && !parts.some((p) => p.files.step === name))
      .map(([name]) => make("li", {}, toFile(name)))),
  ];
}

function sheetFigure(sheet, toFile) {
  const names = sheet.parts.map((p) => p.id).join(", ");
  return make("figure", {},
    make("img", { class: "small", src: fileAt("print", sheet.files.svg), alt: `Seen from above: ${names}` }),
    make("figcaption", {}, toFile(sheet.files.dxf, "DXF"), " ", toFile(sheet.files.svg, "SVG"), `: ${names}; ${sheet.thickness_mm.toFixed(2)} mm thick`));
}

function plateFigure(plate, toFile) {
  const names = plate.parts.map((p) => p.id).join(", ");
  return make("figure", {},
    make("img", { class: "small", src: fileAt("print", plate.file.replace(".3mf", ".png")), alt: `Seen on the bed: ${names}` }),
    make("figcaption", {}, toFile(plate.file), `: ${names}; ${plate.cost.mass_g.toFixed(0)} g, ${plate.cost.time}`));
}

/** Ticks for the parts that went on the printer, and what enters them. */
function wentOnThePrinter(parts, page, mark) {
  const ticks = new Map(parts.map(({ id }) => [id, make("input", { type: "checkbox", "aria-label": `${id} went on the printer` })]));
  const said = make("p", { class: "said", role: "status" });
  const before = taken(page);
  const isOther = before && before.mark !== mark;
  const which = make("select", { "aria-label": "Which files went on the printer" },
    isOther ? make("option", { value: before.mark }, `the files taken ${before.at}, build ${before.mark}`) : null,
    make("option", { value: mark }, `as drawn now, build ${mark}`));
  let again = "";
  const enter = make("button", { type: "button", class: "press", onclick: async () => {
    const ticked = [...ticks].filter(([, tick]) => tick.checked).map(([id]) => id);
    try {
      const done = await tell("printed", { parts: ticked, build: which.value, again: again === ticked.join() });
      said.textContent = `In the log: ${done.copies.join("; ")}.`;
      await page.refresh();
    } catch (e) {
      // The same pressed once more is meant.
      again = e.message.includes("once more") ? ticked.join() : "";
      said.textContent = e.message;
    }
  } }, "These went on the printer today");
  const why = "Then it stays known how these copies were drawn, whatever is changed afterwards: what you read of them is held against that.";
  return { ticks, shown: [isOther ? make("p", { class: "note" }, "Something was changed since files were taken; say which went on the printer.") : null, make("div", { class: "row" }, which, enter), make("p", { class: "note" }, why), said] };
}

const STATES = [["in_use", "in use"], ["finished", "finished"], ["spare", "spare"], ["broken", "broken"], ["built_in", "built in"]];

/** Every copy that was printed, and what became of it. */
function onTheBench(page) {
  const { copies } = page.state;
  if (!copies.length) return make("p", { class: "note" }, "The log knows of no printed part yet.");
  const row = (copy) => {
    const state = make("select", { "aria-label": `What became of ${copy.part}, copy ${copy.number}` },
      STATES.map(([word, means]) => make("option", { value: word, selected: word === copy.state }, means)));
    state.addEventListener("change", async () => {
      try {
        await tell("became", { part: copy.part, copy: copy.number, state: state.value });
        await page.refresh();
      } catch (e) {
        page.warn(e.message);
      }
    });
    const replaced = copy.state === "in_use" && !copy.current ? " (another one is)" : "";
    return make("tr", {},
      make("th", { scope: "row" }, `${copy.part}, copy ${copy.number}`),
      make("td", {}, copy.on),
      make("td", {}, copy.build),
      make("td", {}, state, replaced));
  };
  return make("div", { class: "wide", tabindex: "0", role: "region", "aria-label": "Printed parts" }, make("table", { class: "flow" },
    make("thead", {}, make("tr", {}, ["Part", "Printed", "Of build", "It is"].map((h) => make("th", {}, h)))),
    make("tbody", {}, copies.map(row))));
}

function partRow(part, tick, toFile) {
  const { printed, cut } = part;
  const files = [[part.files.stl, "STL"], [cut?.files.dxf, "DXF"], [cut?.files.svg, "SVG"], [part.files.step, "STEP"]];
  const links = files.filter(([file]) => file).flatMap(([file, words]) => [toFile(file, words), " "]);
  const chosen = printed?.candidates.find((c) => c.on_bed === printed.on_bed) ?? {};
  const marks = (chosen.marks ?? []).map((m) => `${m.face} by ${m.by}`);
  const lies = printed ? `${printed.on_bed}${printed.chosen_by_builder ? " (as you said)" : ""}` : "cut from sheet";
  return make("tr", {},
    make("td", {}, make("label", { class: "row" }, tick)),
    make("th", { scope: "row" }, part.id),
    make("td", {}, lies),
    make("td", {}, marks.join(", ") || "—"),
    make("td", { class: "num" }, printed ? `${printed.cost.mass_g.toFixed(1)} g` : "—"),
    make("td", { class: "num" }, printed ? printed.cost.time : "—"),
    make("td", {}, links));
}
