// The page: which family, which tab, what is known; and that it stays true.

import { make, speak, verdictClass, verdictSign } from "./make.js";
import { sayWhatIsKept } from "./keeping.js";
import { entryQueue } from "./queue.js";
import { Silent, Unanswered, ask, choose, families, onChange } from "./wire.js";
import { measureTab } from "./measure.js";
import { wantTab } from "./want.js";
import { fitTab } from "./fit.js";
import { lookTab } from "./look.js";
import { keepFocus } from "./focus.js";
import { inspectTab } from "./inspect.js";
import { jobLine } from "./job.js";
import { logTab } from "./log.js";
import { printTab } from "./print.js";
import { printerTab } from "./printer.js";
import { versionsTab, windTab } from "./sheets.js";
import { startPage } from "./start.js";
import { undoLast } from "./ways.js";

const TABS = { Measure: measureTab, Want: wantTab, Fit: fitTab, Look: lookTab, Print: printTab, Inspect: inspectTab, Wind: windTab, Printer: printerTab, Versions: versionsTab, Log: logTab };
const by = (name) => document.getElementById(name);

/** Before what was not answered is asked for again. */
const PAUSE = 1_000;
/** How often the state was asked for, and which answer is shown. */
let asked = 0;
let shown = 0;

/** What tabs know and can ask for. */
const page = {
  state: null,
  /** The fit that is shown: the family's, or what it would be with what is being typed. */
  tried: null,
  open: "Measure",
  tab: null,
  /** Readings on their way to the log, once something was typed. */
  queue: null,
  /** A quantity that is to be read, with its spot, and whether it was worked over. */
  reading: null,
  /** A check whose place is looked at. */
  place: null,
  /** The position and path of a value that is to be changed. */
  wish: null,
  async refresh() {
    const turn = ++asked;
    try {
      const state = await ask("state");
      // An answer that a later one has overtaken is no news.
      if (turn < shown) return;
      shown = turn;
      take(state);
    } catch (e) {
      if (turn < shown) return;
      // Unless somebody has asked since.
      if (e instanceof Silent) setTimeout(() => turn === asked && page.refresh(), PAUSE);
      else if (!(e instanceof Unanswered)) warn(e.message);
    }
  },
  show(tab) {
    open(tab);
  },
  /** Opens the place where a quantity is read. */
  read(of, how = {}) {
    page.reading = { of, ...how };
    // What is read of printed parts stands there.
    open(page.state.quantities.some((quantity) => quantity.name === of) ? "Measure" : "Inspect");
  },
  warn,
  verdict: showVerdict,
  done: showDone,
};

/** Says what comes next, whenever something may have moved on. */
const moved = jobLine(page, by("job"));

/** What was done; and, where it was a change of what is wanted, what takes it back. */
function showDone(words, canUndo = false) {
  const take = () => undoLast(page, showDone);
  by("done").replaceChildren(words, canUndo ? make("button", { type: "button", onclick: take }, "Undo") : "");
  by("done").hidden = !words;
}

/** What can't all be true of what was read: in sight whatever tab is open, until it is settled. */
function showOdd(odd) {
  const [summary, list] = by("odd").children;
  summary.textContent = odd.length === 1 ? "Odd: one thing about the readings" : `Odd: ${odd.length} things about the readings`;
  list.replaceChildren(...odd.map((p) => make("li", {}, p.words)));
  by("odd").hidden = !odd.length;
}

function warn(words) {
  by("alert").textContent = words;
  by("alert").hidden = !words;
}

/** A new state: whatever the open tab shows is brought up to it. */
function take(state) {
  const problems = state.problems.filter((p) => p.error).map((p) => (p.place ? `${p.place}: ` : "") + p.words);
  warn(problems.join("\n"));
  showOdd(state.problems.filter((p) => p.odd));
  if (page.state?.rev === state.rev && page.state?.id === state.id) {
    moved();
    return;
  }
  page.state = state;
  speak(state.unit);
  page.tried = null;
  document.title = `${state.title} — bobbinwright`;
  by("title").textContent = state.title;
  showVerdict(state.fit);
  moved();
  if (page.tab) page.tab.update();
  else open(page.open);
}

function showVerdict(fit, tried = false) {
  const line = by("verdict");
  line.dataset.tried = Boolean(tried);
  if (!fit) {
    const missing = page.state.quantities.filter((q) => q.missing).length;
    line.className = "";
    line.textContent = missing ? `${missing} of ${page.state.quantities.length} readings still to be taken` : "";
    return;
  }
  const count = (word) => fit.checks.filter((c) => c.verdict === word).length;
  const would = tried ? `${tried === true ? "with what is typed" : tried}: ` : "";
  const wholes = fit.pickups.map((p) => `${p.position} ${p.chance}`).join(", ");
  const checks = fit.verdict === "fits"
    ? page.state.problems.some((p) => p.odd) ? "everything fits, though something about the readings is odd"
      : fit.checks.some((check) => check.assumed.length) ? "everything fits, as far as it was measured"
      : fit.checks.some((check) => check.slip) ? "everything fits, unless a reading is a slip of the hand" : "everything fits"
    : [[count("clashes"), "clash"], [fit.checks.length - count("clashes") - count("fits"), "too close to call"], [count("fits"), "fit"]]
      .filter(([n]) => n).map(([n, word]) => `${n} ${word}`).join(", ");
  const words = `${checks}; chance of the whole pickup: ${wholes}`;
  line.className = verdictClass(fit.verdict);
  line.textContent = `${verdictSign(fit.verdict)} ${would}${words}`;
  line.title = fit.headline.join("\n");
}

function open(name) {
  if (name !== page.open) showDone("");
  page.open = name;
  page.tab?.close?.();
  // What was only tried on the other is no more.
  if (page.state) showVerdict(page.state.fit);
  for (const button of by("tabs").children) {
    const here = button.textContent === name;
    button.setAttribute("aria-selected", here);
    button.tabIndex = here ? 0 : -1;
    // Where not all tabs have room.
    if (here) by("tabs").scrollLeft = button.offsetLeft - by("tabs").clientWidth / 2 + button.offsetWidth / 2;
  }
  by("main").replaceChildren();
  by("main").setAttribute("aria-label", name);
  page.tab = TABS[name](by("main"), page);
  location.hash = name;
}

function tabs() {
  const nav = by("tabs");
  const names = Object.keys(TABS);
  nav.replaceChildren(
    ...names.map((name) => make("button", { role: "tab", type: "button", "aria-controls": "main", onclick: () => open(name) }, name)),
  );
  nav.hidden = false;
  by("main").setAttribute("role", "tabpanel");
  nav.addEventListener("keydown", (event) => {
    const at = names.indexOf(page.open);
    const to = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: names.length - 1 }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    const next = names[(to + names.length) % names.length];
    open(next);
    nav.children[names.indexOf(next)].focus();
  });
}

function theme() {
  const button = by("theme");
  const set = (dark) => {
    document.documentElement.dataset.theme = dark ? "dark" : "light";
    button.textContent = dark ? "light" : "dark";
    button.setAttribute("aria-label", `Show the page ${button.textContent}`);
    page.tab?.recolour?.();
  };
  const kept = localStorage.getItem("theme");
  set(kept ? kept === "dark" : matchMedia("(prefers-color-scheme: dark)").matches);
  button.onclick = () => {
    const dark = document.documentElement.dataset.theme !== "dark";
    localStorage.setItem("theme", dark ? "dark" : "light");
    set(dark);
  };
}

async function family(id) {
  choose(id);
  const named = location.hash.slice(1);
  if (named in TABS) page.open = named;
  tabs();
  await page.refresh();
  // What was typed before the page was closed goes on its way, whatever tab is shown.
  if (page.state) page.queue ??= entryQueue(page);
  onChange({
    changed: () => page.refresh(),
    gone: () => isGone(true),
    back: () => {
      isGone(false);
      page.queue?.go();
      page.refresh();
    },
  });
}

/** While the program is not there it is said, and that nothing is lost by it. */
function isGone(gone) {
  by("gone").hidden = !gone;
  by("gone").textContent = gone
    ? "The program does not answer. What you type is kept on this device, and goes into the log as soon as it is there again."
    : "";
}

addEventListener("beforeunload", (event) => {
  // Where this device keeps it, it is there again when the page is.
  if (page.queue?.isAtRisk()) event.preventDefault();
});

by("skip").addEventListener("click", (event) => {
  // The address says which tab is open.
  event.preventDefault();
  by("main").focus();
});
keepFocus(by("main"));
theme();
sayWhatIsKept(warn);
try {
  const all = await families();
  const named = all.only ?? new URLSearchParams(location.search).get("family");
  if (named) await family(named);
  else startPage(by("main"), all, page);
} catch (e) {
  warn(e.message);
}
