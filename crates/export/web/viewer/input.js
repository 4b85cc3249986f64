// Fingers, mouse and keys. A drag turns; two fingers, the other buttons or shift move the picture;
// wheel and pinch enlarge where they point; a press without a drag is a click.
//
// The page that the picture is on stays one that can be scrolled: only once the picture was pressed, or reached with the
// keyboard, are the wheel and a finger's way up and down its own, until something else is.

const stillPixels = 6;
const turnPerPixel = 0.008;
const keyTurn = Math.PI / 24;
const keyPixels = 40;

/** Steers `camera`, and tells `viewer` of grip(), click(x, y), fit() and clearPicks(). */
export function listen(canvas, camera, viewer) {
  const pressed = new Map();
  let moved = false;
  canvas.style.touchAction = "pan-y";
  canvas.tabIndex = 0;
  const isHeld = () => document.activeElement === canvas;
  canvas.addEventListener("focus", () => {
    canvas.style.touchAction = "none";
  });
  canvas.addEventListener("blur", () => {
    canvas.style.touchAction = "pan-y";
  });
  const on = (type, act) => canvas.addEventListener(type, act);

  const spotOf = (event) => {
    const box = canvas.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  };

  on("pointerdown", (event) => {
    canvas.setPointerCapture(event.pointerId);
    moved = pressed.size > 0;
    pressed.set(event.pointerId, { ...spotOf(event), shifts: event.button !== 0 || event.shiftKey });
  });

  on("pointermove", (event) => {
    const before = pressed.get(event.pointerId);
    if (!before) return;
    const spot = spotOf(event);
    const [dx, dy] = [spot.x - before.x, spot.y - before.y];
    if (!moved && Math.hypot(dx, dy) < stillPixels) return;
    if (!moved && !before.shifts) viewer.grip();
    moved = true;
    const other = [...pressed].find(([id]) => id !== event.pointerId)?.[1];
    if (other) pinch(camera, before, spot, other);
    else if (before.shifts) camera.shiftBy(dx, dy);
    else camera.turnBy(-dx * turnPerPixel, dy * turnPerPixel);
    pressed.set(event.pointerId, { ...before, ...spot });
  });

  on("pointerup", (event) => {
    const spot = pressed.get(event.pointerId);
    if (spot && !moved && event.button === 0) viewer.click(spot.x, spot.y);
    pressed.delete(event.pointerId);
  });
  on("pointercancel", (event) => pressed.delete(event.pointerId));
  on("contextmenu", (event) => event.preventDefault());

  on("wheel", (event) => {
    // With ctrl the browser enlarges the page.
    if (event.ctrlKey || !isHeld()) return;
    event.preventDefault();
    const notches = (event.deltaY * [1, 16, 400][event.deltaMode]) / 100;
    const { x, y } = spotOf(event);
    camera.zoomBy(1.15 ** -notches, x, y);
  });

  on("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    if (pressKey(camera, viewer, event)) event.preventDefault();
  });
}

/** One of two fingers moved. */
function pinch(camera, before, spot, other) {
  const gap = (p) => Math.max(10, Math.hypot(p.x - other.x, p.y - other.y));
  camera.shiftBy((spot.x - before.x) / 2, (spot.y - before.y) / 2);
  camera.zoomBy(gap(spot) / gap(before), (spot.x + other.x) / 2, (spot.y + other.y) / 2);
}

const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const zooms = { "+": 1.25, "=": 1.25, "-": 0.8 };

function pressKey(camera, viewer, { key, shiftKey }) {
  if (key in arrows) {
    const [x, y] = arrows[key];
    if (shiftKey) camera.shiftBy(x * keyPixels, y * keyPixels);
    else camera.turnBy(-x * keyTurn, y * keyTurn);
  } else if (key in zooms) camera.zoomBy(zooms[key], camera.width / 2, camera.height / 2);
  else if (key === "Home") viewer.fit();
  else if (key === "Escape") {
    viewer.clearPicks();
    viewer.canvas.blur();
  }
  else return false;
  return true;
}
