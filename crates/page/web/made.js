// Tabs of files that the program makes when somebody looks at them.

import { make } from "./make.js";
import { ask } from "./wire.js";

/** A tab of files that are made when it is opened. */
export function madeTab(what, show) {
  return (main, page) => {
    const place = make("div", {}, make("p", {}, "One moment…"));
    main.append(place);
    let rev = null;
    async function update() {
      if (rev === page.state.rev) return;
      rev = page.state.rev;
      try {
        place.replaceChildren(...show(await ask(`made/${what}`), page));
      } catch (e) {
        place.replaceChildren(make("p", {}, e.message));
      }
    }
    update();
    return { update };
  };
}
