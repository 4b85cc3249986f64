// What is typed and what is on its way to the log: kept on this device, whatever tab is shown, and however often the page
// is closed or the program goes, until it is in the log.

import { Unanswered, tell } from "./wire.js";

/** How many figures stand in a line. */
export const count = (figures) => figures.trim().split(/[\s;]+/).filter((word) => /\d/.test(word)).length;

/** Between two tries to send what was not answered. */
const PAUSE = 1_000;

/** A map that says when it changes. */
class Told extends Map {
  #changed;

  constructor(entries, changed) {
    super();
    for (const [name, value] of entries) super.set(name, value);
    this.#changed = changed;
  }

  set(name, value) {
    super.set(name, value);
    this.#changed();
    return this;
  }
}

/**
 * Entries on their way to the log, one after the other, in the order in which they were typed. A reading keeps all that
 * was said with it: quantity, spot, way, tool. What is refused stays until somebody puts it back or drops it. What is not
 * answered is sent again, with how many entries the log had before: the program tells whether it is in it already.
 */
export function entryQueue(page) {
  const key = `bobbinwright ${page.state.folder}`;
  const kept = remembered(key);
  /** Not answered yet, the first of them under way. Any of those that were kept may have been sent. */
  const waiting = kept.waiting.map((reading) => ({ ...reading, again: reading.known !== undefined }));
  /** In the log, but not in what the page knows yet. */
  let entered = [];
  const { refused } = kept;
  const typed = new Told(kept.typed, () => remember());
  let busy = false;
  let isKept = true;
  /** Ends a pause. */
  let wake = null;
  /** How many entries the log had at last. */
  let known = 0;
  /** The tab that shows it, while one does. */
  let shown = null;
  const changed = () => {
    remember();
    shown?.changed();
  };

  function remember() {
    const words = [...typed].filter(([, figures]) => figures.trim());
    isKept = keep(key, words.length || waiting.length || refused.length ? { typed: words, waiting, refused } : null);
  }

  const pause = () => new Promise((done) => {
    wake = done;
    setTimeout(done, PAUSE);
  });

  async function send() {
    if (busy) return;
    busy = true;
    try {
      while (waiting.length) {
        const reading = waiting[0];
        known = Math.max(known, ...page.state.entries.map((entry) => entry.number));
        reading.known ??= known;
        remember();
        try {
          const answer = await tell("read", reading);
          known = answer.entry;
          entered.push(reading);
          waiting.shift();
          shown?.taken(reading, answer);
        } catch (e) {
          if (e instanceof Unanswered) {
            reading.again = true;
            changed();
            await pause();
            continue;
          }
          waiting.shift();
          refused.push({ reading, why: e.message });
          shown?.refused();
        }
        changed();
      }
    } finally {
      busy = false;
    }
    // What the page learns from here on has all that was entered so far.
    const now = entered;
    await page.refresh();
    entered = entered.filter((reading) => !now.includes(reading));
    changed();
  }

  if (waiting.length) send();

  return {
    /** Names to what is typed and not entered. */
    typed,
    refused,
    add(reading) {
      waiting.push(reading);
      changed();
      send();
    },
    /** The program is there again: nothing waits longer. */
    go: () => wake?.(),
    drop(one) {
      refused.splice(refused.indexOf(one), 1);
      changed();
    },
    /** Readings of a quantity that the page does not know of yet. */
    coming: (name) => [...entered, ...waiting].filter((reading) => reading.of === name),
    /** How many of them are not answered. */
    waiting: (name) => waiting.filter((reading) => reading.of === name).length,
    /** Would something be lost with the page? */
    isAtRisk: () => !isKept && (waiting.length > 0 || refused.length > 0 || [...typed.values()].some((words) => words.trim())),
    show(tab) {
      shown = tab;
    },
  };
}

/** What was kept on this device; nothing where nothing was, or where it can't be read. */
function remembered(key) {
  try {
    const { typed = [], waiting = [], refused = [] } = JSON.parse(localStorage.getItem(key)) ?? {};
    return { typed, waiting, refused };
  } catch {
    return { typed: [], waiting: [], refused: [] };
  }
}

/** Keeps something on this device, or forgets it; says whether that was done. */
function keep(key, what) {
  try {
    if (what) localStorage.setItem(key, JSON.stringify(what));
    else localStorage.removeItem(key);
    return true;
  } catch {
    return false;
  }
}
