// Inspect: the sizes that decide whether the printed parts fit, what was read of them, and whether these very copies go
// together and in.

import { listQueue, sizeList } from "./fields.js";
import { figure, make, verdictClass, verdictWords, withDoubt } from "./make.js";
import { link } from "./made.js";
import { ask } from "./wire.js";

export function inspectTab(main, page) {
  const head = make("div", {}, make("p", {}, "One moment…"));
  const said = make("div", { role: "status" });
  const queue = listQueue(page, said, () => {});
  const list = sizeList(page, queue, {
    group: (size) => size.part,
    stands: (size) => `wanted ${figure(size.wanted)}, allowed ${size.allowed}`,
  });
  main.append(head, said, list.element);
  let rev = null;

  async function update() {
    if (rev === page.state.rev) return;
    rev = page.state.rev;
    try {
      const { words } = await ask("made/inspect");
      head.replaceChildren(...about(words));
      list.show(words.sizes);
    } catch (e) {
      head.replaceChildren(make("p", {}, e.message));
      list.show([]);
    }
    if (page.reading) list.open(page.reading.of, page.reading.afresh ?? false);
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

  function verdict(fit) {
    const rework = (work) => make("button", { type: "button", onclick: () => list.open(work.of, true) }, `${work.words}, then read it`);
    return make("div", { class: "card" },
      make("p", { class: verdictClass(fit.verdict), role: "status" }, `These copies: ${fit.pickups.map((p) => `${p.position} ${verdictWords(p.verdict)}, ${p.chance}`).join("; ")}`),
      ...fit.assumed.map((belief) => make("p", { class: "note" }, belief)),
      ...fit.checks.map((check) => make("div", {},
        make("p", { class: verdictClass(check.verdict) }, `${check.title}: ${withDoubt(check.margin, check.u, true)}`),
        make("p", {}, check.why),
        make("div", { class: "row" }, check.rework.map(rework)))));
  }

  update();
  return { update, close: () => queue.show(null) };
}
