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
  const only = make("input", { type: "checkbox", checked: true });
  const isOne = page.state.positions.length === 1;
  const wish = () => all.find(({ path }) => path === which.value);
  const show = () => {
    said.textContent = "";
    const { words, like } = wish();
    what.textContent = `${wish().what}${like ? `. Like ${like}` : ""}.`;
    value.replaceChildren(labelled("Value", words.length ? choice(words.map((word) => [word, word.replaceAll("_", " ")])) : make("input", { autocomplete: "off" })));
  };
  which.addEventListener("change", show);
  show();
  const state = async (body) => {
    try {
      const done = await tell("value", { ...body, position, rev: page.state.rev });
      if (done.refused) {
        // What is written then is what was refused, whatever is chosen meanwhile.
        said.replaceChildren(`${done.refused} `, make("button", { type: "button", onclick: () => state({ ...body, anyway: true }) }, `Write ${body.path} all the same`));
        return;
      }
      await page.refresh();
      page.done(`${done.path} is stated ${body.only || isOne ? `for ${position}` : "for all pickups"}: ${done.value}.`, true);
    } catch (e) {
      said.textContent = e.message;
      await page.refresh();
    }
  };
  const typed = () => ({ path: which.value, value: value.querySelector("select, input").value, only: !isOne && only.checked, anyway: false });
  return [
    make("div", { class: "row" }, labelled("Which", which), value, isOne ? null : make("label", { class: "row" }, only, `only for ${position}`),
      make("button", { type: "button", class: "press", onclick: () => state(typed()) }, "State it")),
    what, said,
  ];
}
