// The focus is never lost: what is drawn anew while somebody is at it is found again.

/** What tells a control apart from others, whenever it is drawn. */
const nameOf = (control) => ["id", "name", "data-name", "aria-label", "href"].map((key) => control.getAttribute(key) ?? "").join("|") + control.tagName + (control.tagName === "BUTTON" ? control.textContent : "");

const CONTROLS = "a[href], button, input, select, summary, canvas, [tabindex]";

/** Keeps the focus in `place`: on the control that took another's place, or on the place itself where there is none. */
export function keepFocus(place) {
  let last = null;
  let name = "";
  let at = 0;
  place.addEventListener("focusin", (event) => {
    last = event.target;
    name = nameOf(last);
    at = [...place.querySelectorAll(CONTROLS)].indexOf(last);
  });
  place.addEventListener("focusout", (event) => {
    // Somebody left; what is drawn anew has not.
    if (last?.isConnected && event.relatedTarget) last = null;
  });
  new MutationObserver(() => {
    if (!last || last.isConnected || (document.activeElement && document.activeElement !== document.body)) return;
    const controls = [...place.querySelectorAll(CONTROLS)].filter((one) => one.offsetParent && !one.disabled);
    const same = controls.filter((one) => nameOf(one) === name);
    const all = [...place.querySelectorAll(CONTROLS)];
    // Of several alike the one nearest to where it was.
    same.sort((a, b) => Math.abs(all.indexOf(a) - at) - Math.abs(all.indexOf(b) - at));
    (same[0] ?? place).focus({ preventScroll: true });
  }).observe(place, { childList: true, subtree: true });
}
