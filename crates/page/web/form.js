// Forms that are entered by Enter, and stay while what stands round them is drawn anew.

import { make } from "./make.js";
import { tell } from "./wire.js";

export const field = (inputmode, size = 8) => make("input", { inputmode, size, autocomplete: "off", enterkeyhint: "done" });

export const choice = (words) => make("select", {}, words.map(([word, means]) => make("option", { value: word }, means)));

/** What is typed in some fields and not entered is kept on this device, through other tabs and through closing; gives what forgets it. */
function keepHalf(page, title, clear) {
  const name = `bobbinwright ${page.state.home} form ${title}`;
  const forget = () => {
    try {
      localStorage.removeItem(name);
    } catch {
      // Nothing is kept on this device.
    }
  };
  const keep = () => {
    if (clear.every((one) => !one.value.trim())) return forget();
    try {
      localStorage.setItem(name, JSON.stringify(clear.map((one) => one.value)));
    } catch {
      // It is there as long as the page is.
    }
  };
  try {
    const half = JSON.parse(localStorage.getItem(name)) ?? [];
    clear.forEach((one, i) => {
      one.value = half[i] ?? one.value;
    });
  } catch {
    forget();
  }
  for (const one of clear) one.addEventListener("input", keep);
  return forget;
}

/** A form that is entered by Enter; `clear` are its fields that are typed anew each time. */
export function form(page, { title, note, verb, press, body, clear, told, row }) {
  const forget = keepHalf(page, title, clear);
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
