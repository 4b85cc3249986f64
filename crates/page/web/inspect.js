// Inspect: the sizes that decide whether the printed parts fit, what was read of them, and whether these very copies go
// together and in.

import { light } from "./drawn.js";
import { listQueue, sizeList } from "./fields.js";
import { figure, labelled, make, verdictClass, verdictWords, withDoubt } from "./make.js";
import { link } from "./made.js";
import { ask, tell } from "./wire.js";

export function inspectTab(main, page) {
  const head = make("div", {}, make("p", {}, "One moment…"));
  const said = make("div", { role: "status" });
  const queue = listQueue(page, said, () => {});
  /** Parts to the papers that they are drawn on. */
  const papers = new Map();
  let known = { sizes: [], drawings: [] };
  const list = sizeList(page, queue, {
    group: (size) => size.part,
    drawing: paper,
    stands: (size) => `wanted ${figure(size.wanted)}, allowed ${size.allowed}`,
  });
  const foot = make("div");
  main.append(head, said, list.element, foot);
  list.element.addEventListener("focusin", (event) => lit(event.target.dataset.name));
  let rev = null;

  /** Where a part is drawn; whoever touches a number there goes to its field. */
  function paper(part) {
    const one = make("div", { class: "drawing plan", "aria-hidden": "true", onclick: (event) => {
      const box = one.getBoundingClientRect();
      const far = (spot) => Math.hypot(event.clientX - box.left - spot.x * box.width, event.clientY - box.top - spot.y * box.height);
      const spots = known.drawings.find((drawn) => drawn.part === part)?.spots ?? [];
      const [nearest] = [...spots].sort((a, b) => far(a) - far(b));
      if (nearest && far(nearest) < 30) list.open(known.sizes[nearest.number - 1].name, false);
    } });
    papers.set(part, one);
    return make("div", { class: "wide card", tabindex: "0", role: "region", "aria-label": `Drawing: where to read ${part}` }, one);
  }

  /** The place of a size is lit on its drawing. */
  function lit(name) {
    const size = known.sizes.find((one) => one.name === name);
    const spot = known.drawings.find((drawn) => drawn.part === size?.part)?.spots.find((one) => one.number === size.number);
    for (const one of papers.values()) one.querySelector(".lit")?.remove();
    const svg = papers.get(size?.part)?.querySelector("svg");
    if (svg && spot) light(svg, spot, 0.03);
  }

  function show(words) {
    known = words;
    list.show(words.sizes.map((size) => ({ ...size, what: `${size.number}  ${size.what}` })));
    for (const { part, svg } of words.drawings) papers.get(part).innerHTML = svg;
    lit(document.activeElement?.dataset.name);
  }

  async function update() {
    if (rev === page.state.rev) return;
    rev = page.state.rev;
    try {
      const { words } = await ask("made/inspect");
      head.replaceChildren(...about(words));
      foot.replaceChildren(...words.copies.length && words.fit ? [make("h2", {}, "What the printer learns"), lesson(words.learnt)] : []);
      show(words);
    } catch (e) {
      head.replaceChildren(make("p", {}, e.message));
      foot.replaceChildren();
      show({ sizes: [], drawings: [] });
    }
    if (page.reading) list.open(page.reading.of, page.reading.afresh ?? false, page.reading);
    page.reading = null;
  }

  function about({ copies, fit }) {
    const slug = `${page.state.slug}-inspection`;
    return [
      make("p", { class: "note" }, copies.length
        ? `Read of: ${copies.map((one) => one.copy + (one.unknown ? ` (how it was drawn is not known: ${one.unknown})` : "")).join("; ")}.`
        : "Say on Print which parts went on the printer, so that it stays known how they were drawn."),
      fit ? verdict(fit) : make("p", {}, "Nothing was read of printed parts yet. The first sizes of each part decide most; measure above the first layers, after blobs and strings are off."),
      make("p", {}, link("inspect", `${slug}-sheet.pdf`, { download: null, target: "_blank" }, "The sheet to fill in (PDF)")),
      make("p", { class: "note" }, "Cut away from your fingers; sand wet, with a dust mask."),
    ];
  }

  /** What the printer would learn from these readings, in a place where it is shown anew when somebody says a mark. */
  function lesson(learnt) {
    const place = make("div", {});
    const show = (words) => place.replaceChildren(learns(words), ...(words.heldBack ? [markField(show)] : []));
    show(learnt);
    return place;
  }

  /** Where another build explains a copy as well, the mark on its bag decides. */
  function markField(show) {
    const mark = make("input", { autocomplete: "off", spellcheck: "false", size: 10, placeholder: "7d8ac923" });
    const wrong = make("p", { class: "said bad", role: "alert", hidden: true });
    const say = async (event) => {
      event.preventDefault();
      wrong.hidden = true;
      try {
        show(await tell("learnt", { rev: page.state.rev, mark: mark.value }));
      } catch (e) {
        wrong.textContent = e.message;
        wrong.hidden = false;
        mark.focus();
      }
    };
    return make("form", { onsubmit: say },
      make("p", {}, "Is there a mark on its bag or label? Type what is there, and what was held back counts by it."),
      make("div", { class: "row" }, labelled("Mark on its bag or label", mark), make("button", {}, "That is what it says")),
      wrong);
  }

  /** Entered when somebody says so. */
  function learns({ why, readings, odd, mark, was, now }) {
    if (why) return make("p", { class: "note" }, why);
    const teach = async () => {
      try {
        const done = await tell("teach", { rev: page.state.rev, mark: mark ?? "" });
        await page.refresh();
        page.done(`In the printer's log: ${done.readings === 1 ? "one reading" : `${done.readings} readings`} of these parts.`);
      } catch (e) {
        page.done(e.message);
      }
    };
    const before = new Map(was.map((one) => [one.label, withDoubt(one.value, one.u)]));
    const line = (one) => {
      const stands = withDoubt(one.value, one.u);
      const first = before.get(one.label);
      return make("li", {}, `${one.label} ${stands}${first && first !== stands ? `, before ${first}` : ""}`);
    };
    return make("div", {},
      ...odd.map((words) => make("p", { class: "said bad" }, words)),
      make("p", {}, "With what was read of these parts the printer would be known like this, and the next parts drawn by it:"),
      make("ul", {}, now.map(line)),
      make("div", { class: "row" }, make("button", { type: "button", class: "press", onclick: teach }, readings === 1 ? "Enter that reading in the printer's log" : `Enter these ${readings} readings in the printer's log`)),
      make("p", { class: "note" }, "Do that before you file or drill a part."));
  }

  function verdict(fit) {
    const rework = (work) => make("button", { type: "button", onclick: () => list.open(work.of, true) }, `${work.words}, then read it`);
    return make("div", { class: "card" },
      make("p", { class: verdictClass(fit.verdict), role: "status" }, `These copies: ${fit.pickups.map((p) => `${p.position} ${verdictWords(p.verdict)}, ${p.chance}`).join("; ")}`),
      fit.unread && make("p", { class: "note" }, `${fit.unread}.`),
      ...fit.assumed.map((belief) => make("p", { class: "note" }, belief)),
      ...fit.checks.map((check) => make("div", {},
        make("p", { class: verdictClass(check.verdict) }, `${check.title}: ${withDoubt(check.margin, check.u, true)}`),
        make("p", {}, check.why),
        make("div", { class: "row" }, check.rework.map(rework)))));
  }

  update();
  return { update, close: () => queue.show(null) };
}
