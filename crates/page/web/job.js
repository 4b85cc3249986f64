// The job at a glance, over whatever tab is open: what comes next for each pickup and why, and how far each is.

import { make } from "./make.js";
import { ask } from "./wire.js";

/** Where each of the program's commands is done on the page. */
const PLACES = { read: "Measure", sheet: "Measure", check: "Fit", want: "Want", coupon: "Printer", build: "Print", printed: "Print", handover: "Print", inspect: "Inspect", wind: "Wind", wound: "Wind", tested: "Wind", done: "Wind" };

/** As long as somebody types nothing is worked out that is not asked for. */
const QUIET = 1_200;

/** Shows how the job stands; gives what is called whenever something may have moved on. */
export function jobLine(page, element) {
  const [line, body] = element.children;
  let timer = null;
  let shown = null;
  /** Draws what stands under the line. */
  let known = () => {};
  element.addEventListener("toggle", () => element.open && known());

  /** Opens the tab in which a step is done. */
  const go = (next) => {
    const place = PLACES[next.how.split(" ")[1]];
    return place ? make("button", { type: "button", onclick: () => page.show(place) }, `Open ${place}`) : null;
  };

  const step = (pickup) => (pickup.next ? `${pickup.next.what.replace(/\.$/, "")}` : "all done");

  function show({ positions }) {
    const said = [...new Set(positions.map((pickup) => `${pickup.position}: ${step(pickup)}`))];
    line.textContent = `Next: ${said.join("; ")}`;
    const heads = positions[0]?.stages.map((stage) => stage.what) ?? [];
    known = () => body.replaceChildren(
      make("div", { class: "wide", tabindex: "0", role: "region", "aria-label": "How far each pickup is" }, make("table", {},
        make("thead", {}, make("tr", {}, make("th", { scope: "col" }, "pickup"), heads.map((head) => make("th", { scope: "col" }, head)))),
        make("tbody", {}, positions.map((pickup) => make("tr", {}, make("th", { scope: "row" }, pickup.position),
          pickup.stages.map((stage) => make("td", {}, `${stage.done ? "\u2713 " : ""}${stage.words}`, stage.on ? make("div", { class: "note" }, stage.on) : null))))))),
      ...positions.filter((pickup) => pickup.next).map((pickup) => make("p", {}, make("strong", {}, `${pickup.position}: ${step(pickup)}. `),
        `${pickup.next.why.replace(/^./, (first) => first.toUpperCase())}. `, go(pickup.next))));
    element.hidden = !positions.length;
    if (element.open) known();
    else body.replaceChildren();
  }

  async function look() {
    const { rev } = page.state;
    try {
      const job = await ask("job");
      if (page.state.rev === rev) show(job);
    } catch {
      // Another state comes, or the program is gone, which is said elsewhere: it is asked again with the next look at the files.
      shown = null;
    }
  }

  return () => {
    if (shown === page.state.rev) return;
    clearTimeout(timer);
    timer = setTimeout(look, shown === null ? 0 : QUIET);
    shown = page.state.rev;
  };
}
