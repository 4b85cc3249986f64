// What is typed and what is on its way to the log: kept on this device, whatever tab is shown, and however often the page
// is closed or the program goes, until it is in the log.

import { Unanswered, tell } from "./wire.js";

/** How many figures stand in a line. */
export const count = (figures) =>
  // Whole inches before a fraction are one with it.
  figures.trim().replace(/(^|[\s;])(\d+) +(\d+\/\d+)/g, "$1$2-$3").split(/[\s;]+/).filter((word) => /\d/.test(word)).length;

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
    this.#changed(this);
    return this;
  }
}

/**
 * Entries on their way to the log, one after the other, in the order in which they were typed. A reading keeps all that
 * was said with it: quantity, spot, way, tool. What is refused stays until somebody puts it back or drops it. What is not
 * answered is sent again, with how many entries the log had before: the program tells whether it is in it already.
 */
export function entryQueue(page) {
  const shelf = entryShelf(page.state.home);
  const kept = shelf.all();
  /** Not answered yet, the first of them under way. Any of those that were kept may have been sent. */
  const waiting = kept.filter((reading) => reading.why === undefined);
  /** In the log, but not in what the page knows yet. */
  let entered = [];
  const refused = kept.filter((reading) => reading.why !== undefined).map(({ why, ...reading }) => ({ reading, why }));
  const typed = new Told(shelf.typed(), (all) => {
    isKept = shelf.type(all);
  });
  let busy = false;
  let isKept = true;
  /** Ends a pause. */
  let wake = null;
  /** How many entries the log had at last. */
  let known = 0;
  /** The tab that shows it, while one does. */
  let shown = null;
  const changed = () => shown?.changed();

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
        // A printer's log counts for itself.
        reading.known ??= known;
        isKept = shelf.put(reading);
        let answer = null;
        let why = null;
        try {
          answer = await tell("read", reading);
        } catch (e) {
          if (e instanceof Unanswered) {
            reading.again = true;
            isKept = shelf.put(reading);
            changed();
            await pause();
            continue;
          }
          why = e.message;
        }
        waiting.shift();
        if (answer) {
          if (!reading.coupon) known = Math.max(known, answer.entry);
          // One that is alike and comes next is another one.
          else for (const next of waiting.filter((one) => one.coupon)) next.known = Math.max(next.known, answer.entry);
          entered.push({ ...reading, entry: answer.entry });
          // As long as it may still be in the log it is kept that it goes.
          if (reading.isBack) await takeOut(answer.entry);
          shelf.take(reading);
          if (!reading.isBack) shown?.taken(reading, answer);
        } else if (reading.isBack) {
          shelf.take(reading);
        } else {
          isKept = shelf.put({ ...reading, why });
          refused.push({ reading, why });
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

  /** Withdraws an entry: a slip of the hand. */
  async function takeOut(entry) {
    for (;;) {
      try {
        await tell("withdraw", { entry, why: "a slip of the hand" });
        return;
      } catch (e) {
        if (!(e instanceof Unanswered)) {
          page.warn(e.message);
          return;
        }
        await pause();
      }
    }
  }

  /** What can be taken back before it is in the log: a printer's log has no such way. */
  const goesBack = (reading) => !reading.isBack && !reading.coupon && page.state.quantities.some((quantity) => quantity.name === reading.of);

  if (waiting.length) send();

  return {
    /** Names to what is typed and not entered. */
    typed,
    refused,
    add(said) {
      // Said now, whenever it comes into the log; and told apart from all others, in whatever page it is sent.
      const reading = { ...said, id: shelf.id(), home: page.state.home, on: today() };
      waiting.push(reading);
      isKept = shelf.put(reading);
      changed();
      send();
    },
    /** The program is there again: nothing waits longer. */
    go: () => wake?.(),
    drop(one) {
      refused.splice(refused.indexOf(one), 1);
      shelf.take(one.reading);
      changed();
    },
    /**
     * Readings of a quantity that the page does not know of yet. A new state may be here before the answer to what made it: then
     * the log has an entry of the same more than it had.
     */
    coming(name) {
      const entries = page.state.entries;
      const newest = Math.max(0, ...entries.map((entry) => entry.number));
      const isNew = (one) => one.coupon || one.entry > newest;
      const [first] = waiting;
      const isThere = first?.known !== undefined && !first.coupon && entries.some((entry) => entry.number > first.known && entry.of === first.of);
      const left = [...entered.filter(isNew), ...waiting.slice(isThere ? 1 : 0)];
      return left.filter((reading) => reading.of === name && !reading.isBack);
    },
    /** Takes back what was typed last, where it is not in the log yet; nothing where all is. */
    takeBack() {
      const last = waiting.filter(goesBack).at(-1);
      if (!last) return null;
      // One that is under way may be in the log already: it is withdrawn as soon as that is known.
      if (last === waiting[0]) {
        last.isBack = true;
        isKept = shelf.put(last);
      } else {
        waiting.splice(waiting.indexOf(last), 1);
        shelf.take(last);
      }
      changed();
      return last;
    },
    /** How many of them are not answered. */
    waiting: (name) => waiting.filter((reading) => reading.of === name && !reading.isBack).length,
    /** Is there one that can be taken back? */
    canTakeBack: () => waiting.some(goesBack),
    /** How many are not answered at all. */
    count: () => waiting.length,
    /** Would something be lost with the page? */
    isAtRisk: () => !isKept && (waiting.length > 0 || refused.length > 0 || [...typed.values()].some((words) => words.trim())),
    show(tab) {
      shown = tab;
    },
  };
}

/** The day here, as a log has it. */
function today() {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
}

/**
 * What is kept on this device of a family: each reading by itself, so that two pages of it do not overwrite each other's.
 */
function entryShelf(home) {
  const prefix = `bobbinwright ${home} `;
  let count = 0;
  const put = (name, what) => {
    try {
      if (what === null) localStorage.removeItem(prefix + name);
      else localStorage.setItem(prefix + name, JSON.stringify(what));
      return true;
    } catch {
      return false;
    }
  };
  const get = (name) => {
    try {
      return JSON.parse(localStorage.getItem(prefix + name));
    } catch {
      return null;
    }
  };
  return {
    /** In the order of time, on whichever page. */
    id: () => `${String(Date.now()).padStart(15, "0")}-${String(count++).padStart(6, "0")}-${Math.random().toString(36).slice(2, 12)}`,
    put: (reading) => put(`reading ${reading.id}`, reading),
    take: (reading) => put(`reading ${reading.id}`, null),
    /** Those that were kept, the first first. */
    all() {
      const names = Object.keys(localStorage).filter((key) => key.startsWith(`${prefix}reading `)).map((key) => key.slice(prefix.length)).sort();
      return names.map(get).filter((reading) => reading?.id);
    },
    typed: () => Object.entries(get("typed") ?? {}),
    type(all) {
      const words = Object.fromEntries([...all].filter(([, figures]) => figures.trim()));
      return put("typed", Object.keys(words).length ? words : null);
    },
  };
}
