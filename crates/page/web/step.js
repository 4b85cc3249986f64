// Which step of the work on a pickup is done, how it is set and what is heard.

import { choice, field, form } from "./form.js";
import { labelled } from "./make.js";

/** The ends of the wire, and which of them leads to the output. */
const ENDS = [["", "as stated"], ["start", "its start"], ["finish", "its finish"]];

/** A form for them. */
export function step(page) {
  const pickup = choice(page.state.positions.map((name) => [name, name]));
  const what = choice([["wound", "it is wound"], ["soldered", "it is soldered"], ["built_in", "it is built in"]]);
  const hot = choice(ENDS);
  const [gapBass, gapTreble, actionBass, actionTreble] = [field("decimal", 6), field("decimal", 6), field("decimal", 6), field("decimal", 6)];
  const heard = field("text", 24);
  const typed = (...both) => (both.some((one) => one.value.trim()) ? both.map((one) => one.value) : []);
  const { unit } = page.state;
  const ofSoldered = [labelled("To the output goes", hot)];
  const ofBuiltIn = [labelled(`Gap at the bass side, ${unit}`, gapBass), labelled("gap at the treble side", gapTreble),
    labelled(`Strings over the twelfth fret, bass side, ${unit}`, actionBass), labelled("treble side", actionTreble), labelled("What you hear", heard)];
  const show = () => {
    for (const one of ofSoldered) one.hidden = what.value !== "soldered";
    for (const one of ofBuiltIn) one.hidden = what.value !== "built_in";
  };
  what.addEventListener("change", show);
  show();
  const isIn = () => what.value === "built_in";
  return form(page, {
    title: "When a step is done",
    note: "The gap is from the pickup's top to the strings, held down at the last fret. Said again, the later word counts.",
    verb: "done",
    press: "Enter that it is done",
    body: () => ({ position: pickup.value, step: what.value, unit, hot: what.value === "soldered" ? hot.value : "",
      gaps: isIn() ? typed(gapBass, gapTreble) : [], action: isIn() ? typed(actionBass, actionTreble) : [], heard: isIn() ? heard.value : "" }),
    clear: [gapBass, gapTreble, actionBass, actionTreble, heard],
    of: [pickup, what, hot],
    told: "",
    row: [labelled("Pickup", pickup), labelled("What is done", what), ...ofSoldered, ...ofBuiltIn],
  });
}
