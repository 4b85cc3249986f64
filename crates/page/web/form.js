// Forms that are entered by Enter, and stay while what stands round them is drawn anew.

import { make } from "./make.js";
import { tell } from "./wire.js";

export const field = (inputmode, size = 8) => make("input", { inputmode, size, autocomplete: "off", enterkeyhint: "done" });

export const choice = (words) => make("select", {}, words.map(([word, means]) => make("option", { value: word }, means)));

/**
 * What is typed in some fields and not entered is kept on this device, with the choices that say of what it is, through other tabs and
 * through closing; gives what forgets it.
 */
function keepHalf(page, title, clear, of) {
  const all = [...of, ...clear];
  const name = `bobbinwright ${page.state.home} form ${title}`;
  const forget = () => {
    try {
      localStorage.removeItem(name);
    } catch {
      // Nothing is kept on this device.
    }
  };
  const keep = () => {
    if (clear.every((one) => one.tagName === "SELECT" || !one.value.trim())) return forget();
    try {
      localStorage.setItem(name, JSON.stringify(all.map((one) => one.value)));
    } catch {
      // It is there as long as the page is.
    }
  };
  try {
    const half = JSON.parse(localStorage.getItem(name));
    // Where what it was of is there no more nobody knows of what it is.
    const isThere = half && of.every((one, i) => [...one.options].some((option) => option.value === half[i]));
    if (isThere) {
      all.forEach((one, i) => {
        one.value = half[i] ?? one.value;
      });
      // Once it stands on the page it shows what goes with what is chosen.
      queueMicrotask(() => all.filter((one) => one.tagName === "SELECT").forEach((one) => one.dispatchEvent(new Event("change", { bubbles: true }))));
    } else if (half) forget();
  } catch {
    forget();
  }
  for (const one of all) one.addEventListener("input", keep);
  return forget;
}

/** A form that is entered by Enter; `clear` are its fields that are typed anew each time, `of` the choices that say of what they are. */
export function form(page, { title, note, verb, press, body, clear, of = [], told, row }) {
  const forget = keepHalf(page, title, clear, of);
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
      forget();
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
