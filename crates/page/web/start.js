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
  const mounting = pick("mounting", ["bosses", "through bosses in the cover"], ["ears", "through ears beside it"]);
  const held = labelled("Screws go", mounting);
  const screws = labelled("Screws for each", field("screws", "2", { type: "number", min: 1, max: 6 }));
  const ears = labelled("Sides of the ears, that of screw 1 first", field("ears", "treble, bass"));
  ears.hidden = true;
  mounting.addEventListener("change", () => {
    screws.hidden = mounting.value === "ears";
    ears.hidden = !screws.hidden;
  });
  const here = all.room === "." ? "the folder in which this page was started" : all.room;
  const form = make("form", { class: "card" },
    make("h2", {}, "Start a family"),
    make("p", { class: "note" }, `Its folder comes into ${here}.`),
    make("div", { class: "row" },
      labelled("Folder", field("folder", "", { required: true })),
      labelled("What you call it", field("title", "")),
      labelled("Strings", field("strings", "6", { type: "number", min: 4, max: 12 })),
      labelled("Positions", field("positions", "neck, bridge")),
      labelled("Strung for", pick("handed", ["right", "the right hand"], ["left", "the left hand"])),
      labelled("Routed as", pick("outline", ["rectangle", "a rectangle"], ["parallelogram", "a parallelogram"], ["trapezoid", "a trapezoid"])),
      labelled("Row slanted by, degrees", field("slant", "0", { inputmode: "text", size: 6 })),
      held,
      screws,
      ears,
      labelled("Rods", pick("poles", ["pair", "two beside each string"], ["single", "one under each string"])),
      labelled("Step of your caliper's display", field("step", "", { required: true, placeholder: "as 0.01" })),
      labelled("Largest error that its maker permits", field("limit", "", { required: true, placeholder: "as 0.03" }))),
    make("p", { class: "note" }, "The caliper's data sheet says both. In inches write 0.0005in and 0.001in: the family begins in inches then."),
    make("button", { class: "press" }, "Start"));
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const said = Object.fromEntries(new FormData(form));
    try {
      go((await startOne({ ...said, strings: Number(said.strings), screws: Number(said.screws) })).id);
    } catch (e) {
      page.warn(e.message);
    }
  });
  main.replaceChildren(
    make("h2", {}, "Families here"),
    chosen.length ? make("div", { class: "row" }, chosen) : make("p", { class: "note" }, `There is none in ${here} yet.`),
    form, all.families.length ? likeAnother(all.families, page) : "");
}

/** A family that says only what differs from another: thicker walls, the other hand. */
function likeAnother(families, page) {
  const folder = make("input", { name: "folder", required: true, autocomplete: "off" });
  const title = make("input", { name: "title", autocomplete: "off" });
  const like = make("select", {}, families.map((f) => make("option", { value: f.id }, f.title ?? f.id)));
  const handed = make("select", {}, [["", "the same hand"], ["left", "the left hand"], ["right", "the right hand"]].map(([word, means]) => make("option", { value: word }, means)));
  const form = make("form", { class: "card" },
    make("h2", {}, "Start one like another"),
    make("p", { class: "note" }, "It says only what differs; readings and all the rest are the other's."),
    make("div", { class: "row" }, labelled("Folder", folder), labelled("What you call it", title), labelled("Like", like), labelled("Strung for", handed)),
    make("button", { class: "press" }, "Start it"));
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    try {
      go((await startOne({ folder: folder.value, title: title.value, like: like.value, handed: handed.value })).id);
    } catch (e) {
      page.warn(e.message);
    }
  });
  return form;
}
