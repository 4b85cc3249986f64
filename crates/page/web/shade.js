// The viewer in the page's own colours.

const channels = (css, name) => {
  const hex = css.getPropertyValue(name).trim().slice(1);
  return [0, 2, 4].map((i) => Number.parseInt(hex.slice(i, i + 2), 16) / 255);
};

/** Gives a viewer the colours of the theme that is on. */
export function shade(viewer) {
  const css = getComputedStyle(document.documentElement);
  viewer.colours({ background: channels(css, "--ground"), mark: channels(css, "--clash"), cap: channels(css, "--sheet") });
}
