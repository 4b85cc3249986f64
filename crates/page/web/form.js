// Forms that are entered by Enter, and stay while what stands round them is drawn anew.

import { make } from "./make.js";
import { tell } from "./wire.js";

export const field = (inputmode, size = 8) => make("input", { inputmode, size, autocomplete: "off", enterkeyhint: "done" });

export const choice = (words) => make("select", {}, words.map(([word, means]) => make("option", { value: word }, means)));

/** A form that is entered by Enter; `clear` are its fields that are typed anew each time. */
export function form(page, { title, note, verb, press, body, clear, told, row }) {
  const said = make("p", { role: "status" });
  const button = make("button", { class: "press" }, press);
  const enter = async (event) => {
    event.preventDefault();
    // Nothing is entered twice by whoever is impatient.
    if (button.disabled) return;
    button.disabled = true;
    try {
      const done = await tell(verb, body());
      for (const one of clear) one.value = "";
      said.textContent = `Entry ${done.entry}: ${done.text}. ${told}`;
      clear[0]?.focus();
      // The next one need not wait until all of this one is shown.
      button.disabled = false;
      await page.refresh();
    } catch (e) {
      said.textContent = e.message;
    } finally {
      button.disabled = false;
    }
  };
  return make("form", { class: "card", onsubmit: enter }, make("h2", {}, title), make("p", { class: "note" }, note),
    make("div", { class: "row" }, ...row, button), said);
}
