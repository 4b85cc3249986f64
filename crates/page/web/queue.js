// What is typed and what is on its way to the log: kept for as long as the page is open, whatever tab is shown.

import { tell } from "./wire.js";

/** How many figures stand in a line. */
export const count = (figures) => figures.trim().split(/[\s;]+/).filter((word) => /\d/.test(word)).length;

/**
 * Entries on their way to the log, one after the other, in the order in which they were typed. A reading keeps all that
 * was said with it: quantity, spot, way, tool. What is refused stays until somebody puts it back or drops it.
 */
export function entryQueue(page) {
  /** Not answered yet, the first of them under way. */
  const waiting = [];
  /** In the log, but not in what the page knows yet. */
  let entered = [];
  const refused = [];
  let busy = false;
  /** The tab that shows it, while one does. */
  let shown = null;
  const changed = () => shown?.changed();

  async function send() {
    if (busy) return;
    busy = true;
    try {
      while (waiting.length) {
        const reading = waiting[0];
        try {
          const answer = await tell("read", reading);
          entered.push(reading);
          waiting.shift();
          shown?.taken(reading, answer);
        } catch (e) {
          waiting.shift();
          refused.push({ reading, why: e.message });
        }
        changed();
      }
    } finally {
      busy = false;
    }
    // What the page learns from here on has all that was entered so far.
    const known = entered;
    await page.refresh();
    entered = entered.filter((reading) => !known.includes(reading));
    changed();
  }

  return {
    /** Names to what is typed and not entered. */
    typed: new Map(),
    refused,
    add(reading) {
      waiting.push(reading);
      changed();
      send();
    },
    drop(one) {
      refused.splice(refused.indexOf(one), 1);
      changed();
    },
    /** Readings of a quantity that the page does not know of yet. */
    coming: (name) => [...entered, ...waiting].filter((reading) => reading.of === name),
    /** How many of them are not answered. */
    waiting: (name) => waiting.filter((reading) => reading.of === name).length,
    isBusy: () => waiting.length > 0 || refused.length > 0,
    show(tab) {
      shown = tab;
    },
  };
}
