// A stop of the winder: what the counter and the meter show, entered beside it.

import { labelled, make } from "./make.js";
import { tell } from "./wire.js";

/** A form that stays the same while its tab is drawn anew, so that nobody loses what is half typed. */
export function winder(page) {
  const coil = make("select", {}, page.state.positions.map((name) => make("option", { value: name }, name)));
  const field = (inputmode) => make("input", { inputmode, size: 8, autocomplete: "off", enterkeyhint: "done" });
  const [turns, reads, celsius, across, spool] = [field("numeric"), field("text"), field("decimal"), field("decimal"), field("text")];
  const said = make("p", { role: "status" });
  const press = make("button", { class: "press" }, "Enter it");
  const enter = async (event) => {
    event.preventDefault();
    // Nothing is entered twice by whoever is impatient.
    if (press.disabled) return;
    press.disabled = true;
    try {
      const done = await tell("wound", { coil: coil.value, unit: page.state.unit, turns: turns.value, reads: reads.value, celsius: celsius.value, across: across.value, spool: spool.value });
      // Temperature and spool are mostly the same at the next stop.
      for (const one of [turns, reads, across]) one.value = "";
      said.textContent = `Entry ${done.entry}: ${done.text}. What it tells is below.`;
      turns.focus();
      await page.refresh();
    } catch (e) {
      said.textContent = e.message;
    } finally {
      press.disabled = false;
    }
  };
  return make("form", { class: "card", onsubmit: enter }, make("h2", {}, "At a stop of the winder"),
    make("p", { class: "note" }, "Turns and what the meter shows (402.1, 2.055k or open) are enough; the rest where you read it."),
    make("div", { class: "row" }, labelled("Coil", coil), labelled("Turns", turns), labelled("The meter shows", reads), labelled("Temperature, °C", celsius),
      labelled(`Across the coil, ${page.state.unit}`, across), labelled("Spool", spool), press),
    said);
}
