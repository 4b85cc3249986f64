// How it went when a printed cover or baseplate was tried in the body.

import { choice, form } from "./form.js";
import { labelled, make } from "./make.js";

const SIDES = [["", "not seen"], ["bass", "at the bass end"], ["treble", "at the treble end"], ["neck", "at the neck side"], ["bridge", "at the bridge side"]];

/** The copies that may be tried: those in use first, of them the latest. */
const triable = (page) => page.state.copies.filter((copy) => /-(cover|baseplate)$/.test(copy.part) && copy.state !== "broken").toReversed()
  .sort((a, b) => Number(b.current) - Number(a.current));

/** A form for them; `update` brings it up to what is on the bench. */
export function trial(page) {
  const copy = make("select");
  const withWhat = choice([["screws", "in the rout, all screws driven"], ["rout", "in the rout alone"]]);
  const went = choice([["", "say it"], ["goes_in", "it went in"], ["jams", "it jams"]]);
  const at = choice(SIDES);
  const where = labelled("Where", at);
  const show = () => {
    where.hidden = went.value !== "jams";
  };
  went.addEventListener("change", show);
  show();
  const place = form(page, {
    title: "Tried in the body",
    note: "Print the baseplate first and drop it in: what goes in bounds what goes in from then on, and what jams counts too. Say where it jams only if it has room everywhere else.",
    verb: "tried",
    press: "Enter how it went",
    body: () => {
      const [part, number] = copy.value.split(" ");
      return { part, copy: Number(number), with: withWhat.value, it: went.value, at: went.value === "jams" ? at.value : "" };
    },
    clear: [went],
    told: "Fit says what follows.",
    row: [labelled("Part", copy), labelled("It was tried", withWhat), labelled("How it went", went), where],
  });
  const update = () => {
    const chosen = copy.value;
    const all = triable(page);
    copy.replaceChildren(...all.map((one) => make("option", { value: `${one.part} ${one.number}`, selected: `${one.part} ${one.number}` === chosen }, `${one.part}, copy ${one.number}`)));
    place.hidden = !all.length;
  };
  update();
  return { place, update };
}
