// Log: every entry, the latest first, each with what corrects it; and the tools that readings are taken with.

import { labelled, make } from "./make.js";
import { tell } from "./wire.js";

export function logTab(main, page) {
  const tools = make("ul");
  const list = make("section");
  const name = make("input", { autocomplete: "off", placeholder: "rule" });
  const step = make("input", { autocomplete: "off", placeholder: "0.5" });
  const limit = make("input", { autocomplete: "off", placeholder: "0.2" });
  // What is typed in these stays, whatever else is written meanwhile.
  main.append(list, make("section", {},
    make("h2", {}, "Tools"), tools,
    make("p", { class: "note" }, "Another caliper or a rule, as its data sheet has it; an inch has in behind it. A tool that is entered again counts as it says from then on."),
    make("div", { class: "row" }, labelled("Name", name), labelled("Step of its display or scale", step), labelled("Largest error that its maker permits", limit),
      make("button", { type: "button", class: "press", onclick: enterTool }, "Enter the tool"))));

  /** Does something to the log; what comes of it is said. */
  async function act(path, body, words) {
    try {
      const done = await tell(path, body);
      await page.refresh();
      page.done(`${words} (entry ${done.entry})${done.news.length ? `. ${done.news.join(" ")}` : ""}`);
      return true;
    } catch (e) {
      page.done(e.message);
      return false;
    }
  }

  async function enterTool() {
    const body = { name: name.value, step: step.value, limit: limit.value };
    if (await act("tool", body, `Readings can be taken with ${name.value} now`)) for (const one of [name, step, limit]) one.value = "";
  }

  /**
   * Opens an entry's place with its figures, to be typed as they should be: it counts until they are entered in its place. One that
   * was taken back stands in nobody's place.
   */
  function correct(entry, corrects = entry.number) {
    const figures = /got: (mm|inch)\(\[?([^\])]*)\]?\)/.exec(entry.text);
    const spot = /spot: "([^"]*)"/.exec(entry.text)?.[1] ?? null;
    // Each figure in another unit than the family's with its own, whatever is typed next.
    const unit = figures?.[1] === "inch" ? "in" : "mm";
    const suffix = unit === page.state.unit ? "" : unit;
    const typed = figures?.[2].split(",").map((one) => one.trim() + suffix).join(" ") ?? "";
    // All that it said but its figures stays as it was.
    const [, unitOf, within] = /within: (mm|inch)\(([^)]*)\)/.exec(entry.text) ?? [];
    page.read(entry.of, {
      spot, typed, corrects, how: /how: (\w+)/.exec(entry.text)?.[1] ?? "", tool: /with: "([^"]*)"/.exec(entry.text)?.[1] ?? "",
      within: within ? within + (unitOf === "inch" ? "in" : "mm") : "", afresh: /afresh: true/.test(entry.text),
    });
  }

  function row(entry) {
    const doing = [];
    if (entry.of && !entry.counts && /got: /.test(entry.text)) {
      doing.push(make("button", { type: "button", "aria-label": `Enter it again: entry ${entry.number}`, onclick: () => correct(entry, null) }, "Enter it again"));
    }
    if (entry.counts) {
      doing.push(make("button", { type: "button", "aria-label": `Correct it: entry ${entry.number}`, onclick: () => correct(entry) }, "Correct it"));
    }
    if (entry.of ? entry.counts : entry.open) {
      doing.push(make("button", { type: "button", "aria-label": `Take it back: entry ${entry.number}`, onclick: () => act("withdraw", { entry: entry.number, why: entry.of ? "misread" : "entered by mistake" }, `Entry ${entry.number} is taken back`) }, "Take it back"));
    }
    return make("tr", {},
      make("td", { class: "num" }, `${entry.number}`), make("td", { class: "num" }, entry.on),
      make("td", { title: entry.text }, inWords(entry)),
      make("td", {}, make("div", { class: "row pressing" }, entry.of && !entry.counts ? "does not count" : "", doing)));
  }

  function update() {
    const at = document.activeElement?.getAttribute?.("aria-label");
    const { entries } = page.state;
    list.replaceChildren(
      make("h2", {}, `The log: ${entries.length} entries`),
      make("p", { class: "note" }, "Nothing is ever taken out of it. A wrong entry is withdrawn by a later one."),
      make("div", { class: "wide", tabindex: "0", role: "region", "aria-label": "The log" }, make("table", { class: "log" },
        make("thead", {}, make("tr", {}, ["Entry", "Day", "What it says", "Wrong?"].map((h) => make("th", { scope: "col" }, h)))),
        make("tbody", {}, entries.toReversed().map(row)))));
    showTools();
    if (at) [...list.querySelectorAll("button")].find((one) => one.getAttribute("aria-label") === at)?.focus();
  }

  function showTools() {
    const known = page.state.entries.filter((entry) => entry.text.startsWith("tool("));
    tools.replaceChildren(...known.map((entry) => make("li", {}, toolWords(entry.text))));
  }

  update();
  return { update };
}

/** An entry for people; in its own words where it says anything else. */
function inWords(entry) {
  const got = /got: (mm|inch)\(\[?([^\])]*)\]?\)/.exec(entry.text);
  if (entry.text.startsWith("tool(")) return `Tool: ${toolWords(entry.text)}`;
  if (!entry.what || !got) return said(entry.text);
  const field = (name) => new RegExp(`${name}: "?(\\w[^",)]*)`).exec(entry.text)?.[1];
  const tool = field("with");
  const spot = /spot: "([^"]*)"/.exec(entry.text)?.[1];
  return [
    entry.what, spot && `, ${spot}`, `: ${got[2]} ${got[1] === "inch" ? "in" : "mm"}`,
    field("how") && ` (${field("how").replaceAll("_", " ")})`, tool && `, with the ${tool}`, /afresh: true/.test(entry.text) && "; read afresh",
  ].filter(Boolean).join("");
}

const KINDS = { printed: "Printed", became: "What became of it", tried: "Tried in the body", done: "Done", wound: "Wound", tested: "Tested", withdraw: "Taken back", meter: "Meter", thermometer: "Thermometer", spool: "Spool" };
const FIGURES = [[/awg\(number: (\d+), film: (\w+)\)/g, "AWG $1 of $2 film"], [/mm\(\[?([^\])]*)\]?\)/g, "$1 mm"], [/inch\(\[?([^\])]*)\]?\)/g, "$1 in"], [/kilohms\(([^)]*)\)/g, "$1 k\u03a9"], [/megohms\(([^)]*)\)/g, "$1 M\u03a9"], [/ohms\(([^)]*)\)/g, "$1 \u03a9"]];

/** `wound(on: "2026-11-30", coil: "neck", turns: 4000)` as `Wound: coil neck, turns 4000`; its day stands beside it. */
function said(text) {
  const [, kind, fields] = /^(\w+)\((.*)\)$/s.exec(text) ?? [];
  if (!(kind in KINDS)) return make("code", {}, text);
  const plain = FIGURES.reduce((all, [found, words]) => all.replace(found, words), fields.replace(/on: "[^"]*", /, ""));
  return `${KINDS[kind]}: ${plain.replace(/(\w+): /g, (_, name) => `${name.replaceAll("_", " ")} `).replace(/\\?"/g, "").replaceAll("_", " ")}`;
}

/** `tool(name: "caliper", resolution: mm(0.01), mpe_outside: mm(0.02))` for people. */
function toolWords(text) {
  const of = (field) => new RegExp(`${field}: (?:(mm|inch)\\(([^)]*)\\)|"([^"]*)")`).exec(text);
  const size = (field) => {
    const found = of(field);
    return found ? `${found[2]} ${found[1] === "inch" ? "in" : "mm"}` : null;
  };
  const limits = [["mpe_outside", "outside"], ["mpe_inside", "inside"], ["mpe_depth", "depth rod"]];
  const said = limits.map(([field, words]) => size(field) && `${words} within ± ${size(field)}`).filter(Boolean);
  return `${of("name")?.[3] ?? "a tool"}: steps of ${size("resolution")}; ${said.join(", ")}`;
}
