// No family yet: choose one, or start one.

import { labelled, make } from "./make.js";
import { startOne } from "./wire.js";

const go = (id) => {
  location.search = new URLSearchParams({ family: id }).toString();
};

export function startPage(main, all, page) {
  const chosen = all.families.map((f) =>
    make("button", { type: "button", onclick: () => go(f.id) }, `${f.title ?? f.id} `, make("span", { class: "note" }, f.folder)));
  const field = (name, value, more = {}) => make("input", { name, value, autocomplete: "off", ...more });
  const pick = (name, ...words) => make("select", { name }, words.map(([word, means]) => make("option", { value: word }, means)));
  const here = all.room === "." ? "the folder in which this page was started" : all.room;
  const form = make("form", { class: "card" },
    make("h2", {}, "Start a family"),
    make("p", { class: "note" }, `Its folder comes into ${here}.`),
    make("div", { class: "row" },
      labelled("Folder", field("folder", "", { required: true })),
      labelled("What you call it", field("title", "")),
      labelled("Strings", field("strings", "6", { type: "number", min: 4, max: 12 })),
      labelled("Positions", field("positions", "neck, bridge")),
      labelled("Screws", pick("mounting", ["bosses", "through bosses in the cover"], ["ears", "through ears beside it"])),
      labelled("Rods", pick("poles", ["pair", "two beside each string"], ["single", "one under each string"])),
      make("button", { class: "press" }, "Start")));
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const said = Object.fromEntries(new FormData(form));
    try {
      go((await startOne({ ...said, strings: Number(said.strings) })).id);
    } catch (e) {
      page.warn(e.message);
    }
  });
  main.replaceChildren(
    make("h2", {}, "Families here"),
    chosen.length ? make("div", { class: "row" }, chosen) : make("p", { class: "note" }, `There is none in ${here} yet.`),
    form);
}
