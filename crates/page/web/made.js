// Tabs of files that the program makes when somebody looks at them.

import { make } from "./make.js";
import { ask, fileAt } from "./wire.js";

/** A link to one of those files. */
export const link = (what, name, attributes = {}, words = name) => make("a", { href: fileAt(what, name), download: name, ...attributes }, words);

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
        const made = await ask(`made/${what}`);
        const fill = () => place.replaceChildren(...show(made, page, fill).filter(Boolean));
        fill();
      } catch (e) {
        place.replaceChildren(make("p", {}, e.message));
      }
    }
    update();
    return { update };
  };
}
