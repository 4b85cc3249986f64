// What is asked for of a quantity: how it stands, how often and where it is still to be read, and what comes after it.

import { withDoubt } from "./make.js";
import { count } from "./queue.js";

/** Is a figure stated, by a packet or a plan, and not read? */
export const isStated = (how) => how === "packet" || how === "planned";

/** What is known of a quantity, in words. */
export function standing(quantity) {
  if (quantity.value === null && quantity.untilRead && !quantity.waits) return `not read: taken ${quantity.untilRead}`;
  if (quantity.value === null) return !quantity.missing && !quantity.waits ? "not needed, but it checks the others" : quantity.waits ? `read, but it needs ${quantity.waits}` : "not read yet";
  const often = quantity.readings === null ? quantity.untilRead ?? "from the packet" : quantity.readings === 1 ? "read once" : `read ${quantity.readings} times`;
  const again = quantity.again ? `; read it ${quantity.again === 1 ? "once" : `${quantity.again} times`} more${quantity.spot ? ` at ${quantity.spot}` : ""}` : "";
  return `${withDoubt(quantity.value, quantity.u)}, ${often}${again}`;
}

/** How often a quantity was read in a spot, with what is on its way. */
export function readIn(quantity, queue, spot) {
  const is = (at) => placeOf(at ?? "") === placeOf(spot);
  const known = quantity.at.filter(([at]) => is(at)).reduce((sum, [, times]) => sum + times, 0);
  const coming = queue.coming(quantity.name).filter((reading) => is(reading.spot));
  return known + coming.reduce((sum, reading) => sum + count(reading.figures), 0);
}

/** A spot without how far from the side it is: `neck side, 7 mm` is the neck side, `hole 1` is no other than itself. */
function placeOf(spot) {
  if (!/\b(side|edge|end)\b/.test(spot)) return spot;
  const parts = spot.replace(/[.\d][\d.,/ ]*(mm|inches|inch|in\b|")\s*(from (the )?)?/g, "").split(",");
  return parts.map((part) => part.trim()).filter((part) => part).join(", ");
}

/** The spots of a quantity that were read as often as they should be. */
function spotsRead(quantity, queue) {
  const all = [...quantity.at.map(([at]) => at ?? ""), ...queue.coming(quantity.name).map((reading) => reading.spot)];
  const spots = new Set(all.map(placeOf));
  return [...spots].filter((spot) => readIn(quantity, queue, spot) >= quantity.times);
}

/** Is there more to read of a quantity than was read and is on its way? */
export function wantsMore(quantity, queue) {
  if (quantity.spots.length) return spotsRead(quantity, queue).length < quantity.spots.length;
  const coming = queue.coming(quantity.name).reduce((sum, reading) => sum + count(reading.figures), 0);
  return (quantity.readings ?? 0) + coming < quantity.times;
}

/** The spot to read next: the first that lacks something. */
export function nextSpot(quantity, queue) {
  // A reading that is worth repeating is asked for where it counts, once.
  if (quantity.spot && !queue.coming(quantity.name).length) return quantity.spot;
  return quantity.spots.find((spot) => readIn(quantity, queue, spot) < quantity.times) ?? "";
}

/** The quantity after one: the next that nobody read or sent yet, or else simply the next. */
export function nextAfter(state, queue, name) {
  const at = state.quantities.findIndex((q) => q.name === name);
  const later = [...state.quantities.slice(at + 1), ...state.quantities.slice(0, at)];
  const unread = (q) => (q.missing || q.untilRead) && !q.waits && !queue.coming(q.name).length;
  return (later.find(unread) ?? later[0]).name;
}
