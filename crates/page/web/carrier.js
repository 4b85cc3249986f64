// How the page reaches the program: over HTTP, by the address that it was opened at.

/** Asks; what comes back is a `Response`. */
export const carry = (path, options) => fetch(path, options);

/** Shows a picture that is made on the other side, or leads to a file that is. */
export const reach = (element, key, address) => element.setAttribute(key, address);

/** So long nothing is heard of a program that is gone; of one that is there something is heard every second. */
const SILENCE = 2_500;
/** Between two tries to hear of it again. */
const PAUSE = 1_000;

/** Calls back whenever a file of a family changes on the disk, and whenever the program goes and is there again. */
export function listenTo(path, { changed, gone, back }) {
  let stream = null;
  let here = true;
  let isFirst = true;
  let silence = null;
  let again = null;
  const heard = () => {
    clearTimeout(silence);
    silence = setTimeout(lost, SILENCE);
    if (here) return;
    here = true;
    back();
  };
  function lost() {
    clearTimeout(silence);
    clearTimeout(again);
    stream?.close();
    if (here) {
      here = false;
      gone();
    }
    again = setTimeout(listen, PAUSE);
  }
  function listen() {
    stream = new EventSource(path);
    stream.onopen = () => {
      heard();
      // What changed after the page was told of the family and before it listened.
      if (isFirst) changed();
      isFirst = false;
    };
    stream.addEventListener("here", heard);
    stream.onmessage = () => {
      heard();
      changed();
    };
    stream.onerror = lost;
    clearTimeout(silence);
    silence = setTimeout(lost, 2 * SILENCE);
  }
  listen();
}
