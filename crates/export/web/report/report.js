const bytes = Uint8Array.from(atob(document.getElementById("scene").textContent.trim()), (letter) => letter.charCodeAt(0));
const part = (name) => document.getElementById(name);
const viewer = new Viewer(part("parts"), {
  onpick: (result) => { part("distance").textContent = result.lines.join("; "); },
  onlost: (gone) => { part("distance").textContent = gone ? "No 3D here: this browser has no WebGL 2." : ""; },
});
const dark = matchMedia("(prefers-color-scheme: dark)").matches;
viewer.colours({ background: dark ? [0.1, 0.09, 0.08] : [0.965, 0.953, 0.933] });
viewer.show(bytes.buffer);
const cut = () => {
  const axis = part("cut").value;
  const opening = axis && viewer.opening(axis);
  viewer.cut = opening ? { axis, at: opening.at, flip: opening.flip } : null;
};
part("view").oninput = (event) => {
  viewer.look(event.target.value);
  cut();
};
part("apart").oninput = (event) => { viewer.pulled = Number(event.target.value); };
part("cut").oninput = cut;
part("around").oninput = (event) => { viewer.ghosts = event.target.checked; };
part("measure").oninput = (event) => viewer.choose(event.target.checked ? "measure" : "turn");
