// Tabs of files that the program makes when somebody looks at them.

import { make } from "./make.js";
import { leadTo, showAt } from "./carrier.js";
import { ask, fileAt } from "./wire.js";

/** A picture that is one of those files. */
export function picture(what, name, attributes) {
  const image = make("img", attributes);
  showAt(image, fileAt(what, name));
  return image;
}

/** A link to one of them. */
export function link(what, name, attributes = {}, words = name) {
  const one = make("a", { download: name, ...attributes }, words);
  leadTo(one, fileAt(what, name));
  return one;
}

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
