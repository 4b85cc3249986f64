// What a position does not state and could: a sheet to cut plates from, a finish, magnets.

import { choice } from "./form.js";
import { labelled, make } from "./make.js";
import { ask, tell } from "./wire.js";

/** Opened, it asks what there is. */
export function unstated(page, position) {
  const inner = make("div");
  const place = make("details", {}, make("summary", {}, "What is not stated"), inner);
  place.addEventListener("toggle", async () => {
    if (!place.open) return;
    try {
      inner.replaceChildren(...shown(page, position, await ask(`unstated?position=${encodeURIComponent(position)}`)));
    } catch (e) {
      inner.replaceChildren(make("p", {}, e.message));
    }
  });
  return place;
}

function shown(page, position, all) {
  if (!all.length) return [make("p", { class: "note" }, "All of it is stated.")];
  const which = choice(all.map(({ path }) => [path, path.replace(/[._]/g, " ")]));
  const what = make("p", { class: "note" });
  const value = make("span");
  const said = make("p", { class: "said", role: "status" });
  const wish = () => all.find(({ path }) => path === which.value);
  const show = () => {
    const { words, like } = wish();
    what.textContent = `${wish().what}${like ? `. Like ${like}` : ""}.`;
    value.replaceChildren(labelled("Value", words.length ? choice(words.map((word) => [word, word.replaceAll("_", " ")])) : make("input", { autocomplete: "off" })));
  };
  which.addEventListener("change", show);
  show();
  const state = async (anyway) => {
    try {
      const done = await tell("value", { path: which.value, position, value: value.querySelector("select, input").value, anyway, rev: page.state.rev });
      if (done.refused) {
        said.replaceChildren(`${done.refused} `, make("button", { type: "button", onclick: () => state(true) }, "Write it all the same"));
        return;
      }
      await page.refresh();
      page.done(`${done.path} is stated: ${done.value}.`, true);
    } catch (e) {
      said.textContent = e.message;
    }
  };
  return [
    make("div", { class: "row" }, labelled("Which", which), value, make("button", { type: "button", class: "press", onclick: () => state(false) }, "State it")),
    what, said,
  ];
}
