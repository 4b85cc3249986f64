// What was found to help: each way is tried first, with what turns, then taken; and what is taken is undone.

import { make, verdictClass, verdictWords } from "./make.js";
import { ask, tell } from "./wire.js";

/** What turns, the worst first; or that nothing does. */
export function turnedList(turned) {
  if (!turned.length) return make("p", {}, "No verdict turns.");
  return make("ul", { class: "turned" }, turned.map(({ title, was, now }) =>
    make("li", { class: verdictClass(now) }, `${title}: ${was ? `${was}, then ` : ""}${verdictWords(now)}`)));
}

/** Takes the last change of what is wanted back, and says so. */
export async function undoLast(page, say) {
  try {
    // A second one is another one.
    const back = await tell("undo", { rev: page.state.rev });
    await page.refresh();
    say(back.was ? `${back.path} is ${back.was} again.` : `${back.path}: as before again.`);
  } catch (e) {
    say(e.message);
  }
}

/** The ways of a check into `place`, once they were looked for; `words` gets what they are. */
export async function showWays(place, words, check, page) {
  const { rev } = page.state;
  try {
    const found = await ask(`advice?check=${encodeURIComponent(check.id)}`);
    if (!place.isConnected) return;
    words.textContent = found.advice;
    place.replaceChildren(...found.ways.map((way) => oneWay(way, { name: way.name, rev }, page)));
  } catch (e) {
    words.append(` ${e.message}`);
  }
}

/** One way: what it is, what turns with it, and what takes it. */
function oneWay(way, chosen, page) {
  const outcome = make("div", { class: "outcome", role: "status" });
  const leave = () => {
    outcome.replaceChildren();
    page.verdict(page.state.fit);
    attempt.focus();
  };
  const take = async () => {
    try {
      const done = await tell("way", chosen);
      await page.refresh();
      page.done(`Written: ${done.path} ${done.value}.`, true);
    } catch (e) {
      outcome.append(make("p", { class: "said bad" }, e.message));
    }
  };
  const attempt = make("button", { type: "button", onclick: async () => {
    try {
      const would = await tell("tryway", chosen);
      page.verdict(would.fit, "with this");
      const taken = way.bought
        ? make("button", { type: "button", class: "press", onclick: () => page.read(way.bought, { afresh: true }) }, "I have them: read them")
        : make("button", { type: "button", class: "press", onclick: take }, "Take it");
      outcome.replaceChildren(
        make("p", {}, `With ${way.words}:`), turnedList(would.turned),
        make("div", { class: "row" }, taken, make("button", { type: "button", onclick: leave }, "Leave it")));
      taken.focus();
    } catch (e) {
      outcome.replaceChildren(make("p", { class: "said bad" }, e.message));
    }
  } }, `Try ${way.words}`);
  return make("div", { class: "way" }, attempt, outcome);
}

/** What an act at the bench needs, as buttons. */
export const actButtons = (line, page) => [
  ...line.readings.map(({ of, what, spot }) =>
    make("button", { type: "button", onclick: () => page.read(of, { spot }) }, `Read ${what}${spot ? `, ${spot}` : ""}`)),
  line.coupon ? make("button", { type: "button", onclick: () => page.show("Printer") }, "To the coupon") : null,
  line.print ? make("button", { type: "button", onclick: () => page.show("Print") }, "To the parts") : null,
];
