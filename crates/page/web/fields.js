// Lists of sizes to be read, one field each: of printed parts, and of a printer's coupon.

import { isStated } from "./asked.js";
import { asTyped, make, verdictClass, verdictWords, withDoubt } from "./make.js";
import { entryQueue } from "./queue.js";

/** The queue of the page, shown by a list: what is said of entries goes to `said`. */
export function listQueue(page, said, changed) {
  page.queue ??= entryQueue(page);
  const { queue } = page;
  const show = () => {
    const refused = queue.refused.map((one) => make("p", { class: "said bad" },
      `Not entered: ${one.reading.of} ${one.reading.figures}. ${one.why} `,
      make("button", { type: "button", onclick: () => queue.drop(one) }, "Drop it")));
    const waiting = queue.count();
    said.replaceChildren(...refused, waiting ? make("p", { class: "note" }, `${waiting} on the way`) : "");
    changed();
  };
  queue.show({ taken: (reading, entered) => { if (entered.news.length) page.done(entered.news.join(" ")); }, refused: show, changed: show });
  return queue;
}

/**
 * A list of sizes with a field each. What is known of them is shown in place, so that whoever types types on: `show(sizes)`.
 * `group` gives the head under which a size stands, `drawing` what is drawn under that, `stands` what else there is to say of
 * a size, `more` goes with its readings.
 */
export function sizeList(page, queue, { group = () => "", drawing = () => null, stands = () => "", more = () => ({}) } = {}) {
  const element = make("div");
  const rows = new Map();

  function build(sizes) {
    rows.clear();
    const heads = [...new Set(sizes.map(group))];
    element.replaceChildren(...heads.map((head) => {
      const own = sizes.filter((size) => group(size) === head).map((size) => {
        rows.set(size.name, sizeRow(size, page, queue, more));
        return rows.get(size.name).element;
      });
      return make("section", {}, head ? make("h2", {}, head) : null, drawing(head), make("div", { class: "sizes" }, own));
    }));
  }

  return {
    element,
    show(sizes) {
      if (sizes.length !== rows.size || sizes.some((size) => !rows.has(size.name))) build(sizes);
      for (const size of sizes) rows.get(size.name).show(size, stands(size));
    },
    /** Opens the field of a size, which may have been worked over since it was read; or to correct an entry. */
    open(name, isWorked, entry) {
      rows.get(name)?.open(isWorked, entry);
    },
  };
}

function sizeRow(first, page, queue, more) {
  let size = first;
  const field = make("input", { autocomplete: "off", inputmode: "decimal", enterkeyhint: "next", "data-name": size.name,
    "aria-label": size.what, placeholder: `${asTyped(size.wanted)}?`, value: queue.typed.get(size.name) ?? "" });
  const ways = (size.ways ?? []).filter(([word]) => !isStated(word));
  const how = ways.length > 1 ? make("select", { "aria-label": `${size.what}: what the caliper touched` }, ways.map(([word, means]) => make("option", { value: word }, means))) : null;
  // Of several holes each may be read by itself, under whatever it is called.
  const which = size.hole ? make("input", { class: "which", autocomplete: "off", "aria-label": `${size.what}: which hole`, placeholder: "which hole" }) : null;
  /** The entry that what is typed stands in place of. */
  let corrects = null;
  const instead = make("span", { class: "note" });
  const worked = make("input", { type: "checkbox", "aria-label": `${size.what}: worked over since it was read` });
  const isWorked = make("label", { class: "row", hidden: true }, worked, "worked over since");
  const now = make("span");
  const enter = () => {
    const figures = field.value.trim();
    if (!figures) return;
    queue.typed.set(size.name, "");
    field.value = "";
    queue.add({ of: size.name, figures, how: how?.value ?? "", within: "", with: "", spot: which?.value.trim() ?? "", afresh: worked.checked, unit: page.state.unit, corrects, ...more() });
    worked.checked = false;
    isFor(null);
    if (which) which.value = "";
    // The next in the list, as the sheet has them.
    const fields = [...document.querySelectorAll(".sizes input[data-name]")];
    (fields[fields.indexOf(field) + 1] ?? field).focus();
  };
  const isFor = (entry) => {
    corrects = entry;
    instead.textContent = entry ? `in place of entry ${entry}` : "";
  };
  field.addEventListener("input", () => queue.typed.set(size.name, field.value));
  field.addEventListener("keydown", (event) => event.key === "Enter" && enter());
  const what = make("span", {}, size.what);
  const element = make("div", { class: "sizerow" },
    make("span", {}, what, make("span", { class: "note" }, ` ${size.name}`)),
    make("span", { class: "row" }, field, how, which, make("button", { type: "button", "aria-label": `Enter it: ${size.what}`, onclick: enter }, "Enter it"), instead, isWorked),
    now);
  return {
    element,
    show(known, stands) {
      size = known;
      what.textContent = known.what;
      const isRead = known.value !== null;
      isWorked.hidden = !isRead;
      const verdict = known.verdict ? make("span", { class: verdictClass(known.verdict) }, `${verdictWords(known.verdict)}, `) : "";
      now.replaceChildren(verdict, isRead ? withDoubt(known.value, known.u) : "not read yet", stands ? `; ${stands}` : "");
    },
    open(isNew, { corrects: entry = null, typed = "", spot = "" } = {}) {
      worked.checked = isNew;
      isFor(entry);
      if (typed) queue.typed.set(size.name, field.value = typed);
      if (which && spot) which.value = spot;
      field.focus();
    },
  };
}
