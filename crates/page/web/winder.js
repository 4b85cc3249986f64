// What is entered beside the winder: the tools, a stop of the winder, and what tests of a wound coil came to.

import { choice, field, form } from "./form.js";
import { labelled, make } from "./make.js";

function stop(page, coil) {
  const [turns, reads, celsius, across, spool] = [field("numeric"), field("text"), field("decimal"), field("decimal"), field("text")];
  const goes = choice([["", "goes on"], ["afresh", "is begun anew"], ["as_wanted", "is of the wire wanted now"]]);
  return form(page, {
    title: "At a stop of the winder",
    note: "Turns and what the meter shows (402.1, 2.055k or open) are enough; the rest where you read it.",
    verb: "wound",
    press: "Enter it",
    body: () => ({ coil: coil.value, unit: page.state.unit, turns: turns.value, reads: reads.value, celsius: celsius.value, across: across.value, spool: spool.value, goes: goes.value }),
    // Temperature and spool are mostly the same at the next stop.
    clear: [turns, reads, across, goes],
    of: [coil],
    told: "What it tells is below.",
    row: [labelled("Coil", coil), labelled("Turns", turns), labelled("The meter shows", reads), labelled("Temperature, \u00b0C", celsius),
      labelled(`Across the coil, ${page.state.unit}`, across), labelled("Spool", spool), labelled("This coil", goes)],
  });
}

function test(page, positions) {
  const coil = choice(positions.map((name) => [name, name]));
  const [reads, celsius, turns, henries, hertz] = [field("text"), field("decimal"), field("numeric"), field("decimal"), field("decimal")];
  const [insulation, millitesla, over] = [field("text"), field("decimal"), field("decimal")];
  const north = choice([["", "not looked"], ["up", "up"], ["down", "down"]]);
  const kick = choice([["", "not looked"], ["plus", "plus"], ["minus", "minus"]]);
  return form(page, {
    title: "When it is wound: tests",
    note: "What you tested is enough. Insulation: from an eyelet to the rods (open, or 20M). First swing: a meter at DC millivolts, its red lead at the hot eyelet, when steel comes down on the rods.",
    verb: "tested",
    press: "Enter tests",
    body: () => ({ coil: coil.value, unit: page.state.unit, reads: reads.value, celsius: celsius.value, turns: turns.value, henries: henries.value, hertz: hertz.value,
      insulation: insulation.value, north: north.value, kick: kick.value, millitesla: millitesla.value, over: over.value }),
    clear: [reads, turns, henries, hertz, insulation, north, kick, millitesla, over],
    of: [coil],
    told: "How it is judged is below.",
    row: [labelled("Tested coil", coil), labelled("Resistance", reads), labelled("Its temperature, \u00b0C", celsius), labelled("Turns counted", turns),
      labelled("Inductance, H", henries), labelled("at, Hz (1000)", hertz), labelled("Insulation", insulation), labelled("North is", north),
      labelled("First swing", kick), labelled("Field over a rod, mT", millitesla), labelled(`so far over it, ${page.state.unit}`, over)],
  });
}

function tools(page) {
  const [meter, counts, percent, digits] = [field("text"), field("numeric"), field("decimal"), field("decimal")];
  const [thermometer, limit] = [field("text"), field("decimal")];
  return make("details", {}, make("summary", {}, "Meter and thermometer"),
    form(page, {
      title: "Meter",
      note: "As its manual describes it for resistance: how many counts its display has, and what it may err, in percent of what it shows and steps of the last digit.",
      verb: "meter",
      press: "Enter the meter",
      body: () => ({ name: meter.value, counts: counts.value, percent: percent.value, digits: digits.value }),
      clear: [meter, counts, percent, digits],
      told: "Stops entered from now on are read with it.",
      row: [labelled("Meter's name", meter), labelled("Counts", counts), labelled("Percent", percent), labelled("Digits", digits)],
    }),
    form(page, {
      title: "Thermometer",
      note: "By how much it may be off.",
      verb: "thermometer",
      press: "Enter the thermometer",
      body: () => ({ name: thermometer.value, limit: limit.value }),
      clear: [thermometer, limit],
      told: "Stops entered from now on are read with it.",
      row: [labelled("Thermometer's name", thermometer), labelled("May be off by, \u00b0C", limit)],
    }));
}

/** Forms that stay the same while their tab is drawn anew, so that nobody loses what is half typed. */
export function winder(page) {
  const positions = page.state.positions;
  const coil = choice(positions.map((name) => [name, name]));
  return make("div", {}, stop(page, coil), test(page, positions), tools(page));
}
