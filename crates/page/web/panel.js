// The panel in which a reading is entered: what is read and where, one large field, and what it would change. Where a screen
// has little room it is all that one needs: Enter goes from reading to reading.

import { isStated, nextSpot, readIn, standing } from "./asked.js";
import { light } from "./drawn.js";
import { labelled, make, verdictClass } from "./make.js";
import { tell } from "./wire.js";

/** As much of a drawing as is shown round the place to read. */
const AROUND = 0.6;

export function entryPanel(page, { typed, queue, take, type, drawingOf, moved, goOn, toRow }) {
  let quantity = null;
  /** The entry that what is typed stands in place of. */
  let corrects = null;
  let asked = 0;
  /** What was entered here and can be taken back, the last at its end. */
  const taken = [];
  /** How the checks stood at last, and what the last entry turned. */
  let stood = null;
  let just = "";
  const title = make("strong");
  const how = make("p", { class: "note" });
  const place = make("div", { class: "place", "aria-hidden": "true" });
  const field = make("input", { class: "caliper", autocomplete: "off", enterkeyhint: "done", "aria-label": "What the caliper shows" });
  const ways = make("select");
  const within = make("input", { class: "within", size: 6 });
  const spot = make("input", { size: 10, list: "spots" });
  const tool = make("select");
  const unit = make("select", {}, ["mm", "in"].map((word) => make("option", { value: word, selected: word === page.state.unit }, word)));
  const afresh = make("input", { type: "checkbox" });
  const tones = make("input", { type: "checkbox", checked: localStorage.getItem("tones") === "yes" });
  const verdict = make("p", { class: "verdict", role: "status", "aria-live": "polite" });
  const said = make("p", { class: "said", "aria-live": "polite" });
  const odd = make("p", { class: "said bad odd", role: "status" });
  const refused = make("div", { class: "refused", role: "alert" });
  const written = make("p", { class: "note written", role: "status" });
  const press = make("button", { type: "button", class: "press", onclick: () => quantity && take(quantity.name, field) }, "Enter it");
  const back = make("button", { type: "button", hidden: true, onclick: takeBack }, "Take it back");
  const withinLabel = labelled("within \u00b1", within);
  const spots = make("datalist", { id: "spots" });
  const more = make("details", {},
    make("summary", {}, "How it is read"),
    how,
    make("div", { class: "row" }, labelled("what the caliper touched", ways), withinLabel, labelled("spot (if read in several)", spot),
      labelled("with", tool), labelled("without a unit in", unit), labelled("changed since (cut again, other strings)", afresh), labelled("tones", tones)));
  const panel = make("section", { class: "card entry", "aria-label": "The reading", hidden: true },
    place,
    make("div", { class: "what" }, title),
    make("div", { class: "row field" }, field, press),
    verdict, said, odd, refused,
    make("div", { class: "row last" }, written, back),
    more, spots);
  const wide = matchMedia("(min-width: 46.01rem) and (min-height: 35rem)");
  const opened = () => {
    more.open = wide.matches;
  };
  opened();
  const turnedRound = () => {
    opened();
    moved();
  };
  wide.addEventListener("change", turnedRound);

  more.addEventListener("keydown", (event) => event.key === "Escape" && quantity && wide.matches && toRow(quantity.name));
  for (const one of [ways, within, spot, tool, unit, afresh]) {
    one.addEventListener("input", () => {
      withinLabel.hidden = !isStated(ways.value);
      head();
      tryIt();
    });
  }
  tones.addEventListener("input", () => localStorage.setItem("tones", tones.checked ? "yes" : "no"));
  field.addEventListener("input", () => {
    if (!quantity) return;
    type(quantity.name, field.value);
    tryIt();
  });
  field.addEventListener("keydown", (event) => {
    if (!quantity) return;
    if (event.key === "Enter") take(quantity.name, field);
    if (event.key === "Escape") {
      corrects = null;
      head();
      type(quantity.name, "");
      tryIt();
    }
    // With nothing typed there is nothing else to take back.
    if (event.key === "z" && (event.ctrlKey || event.metaKey) && !field.value && canTakeBack()) {
      event.preventDefault();
      takeBack();
    }
  });

  /** What would be entered of a quantity as the panel stands. */
  const reading = (of, figures) => ({
    of: of.name, figures, how: ways.value, within: isStated(ways.value) ? within.value : "",
    with: isStated(ways.value) ? "" : tool.value, spot: spot.value.trim(), afresh: afresh.checked, unit: unit.value, corrects,
  });
  const say = (words, bad = false) => {
    said.textContent = words;
    said.classList.toggle("bad", bad);
  };

  /** What is read now, where, and which of how many times it is. */
  function head() {
    const at = spot.value.trim();
    const read = readIn(quantity, queue, at);
    const times = read < quantity.times ? `, ${read + 1} of ${quantity.times}` : "";
    const instead = corrects ? `, in place of entry ${corrects}` : "";
    title.textContent = `${quantity.number}  ${quantity.what}${at ? `, ${at}` : ""}${instead || times}: ${standing(quantity)}`;
  }

  function about(one) {
    if (quantity?.name !== one.name) {
      quantity = one;
      corrects = null;
      ways.replaceChildren(...one.ways.map(([word, means]) => make("option", { value: word }, means)));
      spot.value = nextSpot(one, queue);
      spots.replaceChildren(...[...new Set([...one.spots, "bass end", "middle", "treble end"])].map((s) => make("option", { value: s })));
      afresh.checked = false;
      withinLabel.hidden = true;
      tool.replaceChildren(make("option", { value: "" }, "the usual tool"), ...page.state.tools.map((t) => make("option", { value: t }, t)));
      field.value = typed.get(one.name) ?? "";
      field.inputMode = one.signed ? "text" : "decimal";
      field.dataset.name = one.name;
      say(unit.value === "in"
        ? "Several readings of the same thing: put a space between them. 3.631 or 29/64; millimetres with mm: 92.2mm."
        : "Several readings of the same thing: put a space between them. Inches with in, or as a fraction: 3.631in, 29/64.");
      picture();
      asked += 1;
      page.verdict(page.state.fit);
    }
    quantity = one;
    panel.hidden = false;
    how.textContent = one.how;
    head();
    stands(page.tried && typed.get(one.name) ? page.tried : page.state.fit);
    if (typed.get(one.name)) tryIt();
  }

  /** The drawing round the place to read, which is lit. */
  function picture() {
    const found = drawingOf(quantity.name);
    place.replaceChildren();
    if (!found) return;
    place.innerHTML = found.svg;
    const svg = place.querySelector("svg");
    const { at, width } = light(svg, found.spot, AROUND * 0.035);
    const [w, h] = [width * AROUND, width * AROUND * 0.45];
    svg.setAttribute("viewBox", `${at[0] - w / 2} ${at[1] - h / 2} ${w} ${h}`);
    for (const name of ["width", "height"]) svg.removeAttribute(name);
  }

  /** Ready for one more reading of the same: in the next spot, where it has spots. */
  function again(one) {
    asked += 1;
    corrects = null;
    spot.value = nextSpot(one, queue);
    afresh.checked = false;
    head();
    const another = one.counted.startsWith("times") ? "Once more, with the caliper set on anew."
      : one.counted === "places" ? "Next: in another place." : `Next: another one, of ${one.times} ${one.counted}.`;
    say(spot.value ? `Next: at its spot ${spot.value}.` : another);
    page.verdict(page.state.fit);
    stands(page.state.fit);
  }

  /** The first of the checks that are called otherwise than they were, and how many more; nothing where none is. */
  function turned(before, after) {
    const were = new Map((before?.checks ?? []).map((check) => [check.id, check.verdict]));
    const [first, ...more] = after.checks.filter((check) => were.has(check.id) && were.get(check.id) !== check.verdict);
    return first ? `${first.position} ${first.title}: ${first.verdict}${more.length ? `, and ${more.length} more` : ""}` : "";
  }

  /** How the pickups stand, and what a reading would turn, or has just turned. */
  function stands(fit, tried = false) {
    verdict.className = `verdict ${fit ? verdictClass(fit.verdict) : ""}`;
    if (!fit) {
      const missing = page.state.quantities.filter((q) => q.missing).length;
      verdict.textContent = missing ? `${missing} ${missing === 1 ? "reading" : "readings"} still to be taken` : "";
      return;
    }
    if (!tried && fit !== stood) {
      just = stood ? turned(stood, fit) : "";
      stood = fit;
    }
    const what = tried ? turned(page.state.fit, fit) : just;
    const turns = what ? `; ${tried ? "would turn" : "just turned"}: ${what}` : "";
    verdict.textContent = fit.pickups.map((p) => `${p.position} ${p.verdict}, ${p.chance}`).join("; ") + turns;
  }

  /** What the reading would make of the family; an answer that is overtaken by a later one is dropped. */
  async function tryIt() {
    const turn = ++asked;
    if (!typed.get(quantity.name)?.trim()) {
      page.verdict(page.state.fit);
      stands(page.state.fit);
      say("");
      return;
    }
    try {
      const would = await tell("try", reading(quantity, typed.get(quantity.name)));
      if (turn !== asked) return;
      page.tried = would.fit;
      if (would.fit) {
        page.verdict(would.fit, true);
        stands(would.fit, true);
      } else if (would.refused) {
        page.verdict(page.state.fit);
        verdict.className = "verdict clashes";
        verdict.textContent = `\u2717 With this the parts can't be made: ${would.refused}`;
      }
      say([`would be ${standing(would.quantity)}`, ...would.news].join(". "), would.news.length > 0);
    } catch (e) {
      if (turn !== asked) return;
      page.verdict(page.state.fit);
      stands(page.state.fit);
      say(e.message, true);
    }
  }

  const canTakeBack = () => taken.length > 0 || queue.canTakeBack();

  /** Takes the last reading back, on its way or in the log: a slip of the hand. */
  async function takeBack() {
    const waiting = queue.takeBack();
    const entry = waiting ? null : taken.pop();
    const of = waiting?.of ?? entry?.of;
    if (!of) return;
    back.hidden = !canTakeBack();
    if (entry) {
      try {
        await tell("withdraw", { entry: entry.entry, why: "a slip of the hand" });
        await page.refresh();
      } catch (e) {
        taken.push(entry);
        back.hidden = false;
        page.warn(e.message);
        return;
      }
    }
    goOn(of);
    written.textContent = entry ? `Entry ${entry.entry} was taken back.` : `${waiting.figures} was taken back before it was in the log.`;
    field.focus({ preventScroll: true });
  }

  /** A high tone for what was taken, a low one for what was not. */
  function tone(isTaken) {
    if (!tones.checked) return;
    const sound = new AudioContext();
    const source = sound.createOscillator();
    source.frequency.value = isTaken ? 880 : 220;
    source.connect(sound.destination);
    source.onended = () => sound.close();
    source.start();
    source.stop(sound.currentTime + (isTaken ? 0.06 : 0.3));
  }

  return {
    panel, field, about, again, tryIt, reading, tone,
    /** What is asked for: in this spot, or of a thing that is another one since. */
    from: ({ spot: at, afresh: isAfresh = false, how: word, tool: by, within: tolerance, corrects: entry = null }) => {
      corrects = entry;
      if (at) spot.value = at;
      if (word) ways.value = word;
      if (by) tool.value = by;
      within.value = tolerance ?? "";
      withinLabel.hidden = !isStated(ways.value);
      afresh.checked = isAfresh;
      head();
      field.focus({ preventScroll: true });
      tryIt();
    },
    /** What was typed is on its way: what comes next stands in place of nothing. */
    entered: () => {
      corrects = null;
    },
    /** Is there room for nothing beside the panel? */
    isAlone: () => !wide.matches,
    /** What is typed elsewhere of the same. */
    mirror: (name, figures) => {
      if (quantity?.name === name && field.value !== figures) field.value = figures;
    },
    written: (entered, of) => {
      written.textContent = `In the log: ${gotWords(entered.text)}${of ? `, ${of.what}` : ""} (entry ${entered.entry})`;
      written.title = `Entry ${entered.entry} is in the log: ${entered.text}`;
      if (of) taken.push({ entry: entered.entry, of: of.name });
      back.hidden = !canTakeBack();
      tone(true);
      if (quantity) head();
    },
    /** What is on its way, or known of late, counts among the repeats. */
    recount: () => {
      back.hidden = !canTakeBack();
      if (quantity) head();
    },
    /** To the words for it; Escape leads back. */
    words: () => {
      more.open = true;
      ways.focus();
    },
    close: () => wide.removeEventListener("change", turnedRound),
    odd: (lines) => {
      odd.textContent = lines.join(" ");
    },
    refused: (all) => {
      panel.hidden &&= !all.length;
      refused.replaceChildren(...all);
    },
    /** The panel as it stood when a reading was typed. */
    say: (reading) => {
      corrects = reading.corrects ?? null;
      ways.value = reading.how;
      within.value = reading.within;
      withinLabel.hidden = !isStated(ways.value);
      tool.value = reading.with;
      spot.value = reading.spot;
      unit.value = reading.unit;
      afresh.checked = reading.afresh;
      head();
    },
  };
}

/** `got: mm([2.53, 2.54])` as `2.53, 2.54 mm`. */
function gotWords(text) {
  const [, unit, figures] = /got: (mm|inch)\(\[?([^\])]*)\]?\)/.exec(text) ?? [];
  return figures ? `${figures} ${unit === "inch" ? "in" : "mm"}` : text;
}
