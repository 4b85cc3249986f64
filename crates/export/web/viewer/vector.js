// Points and directions are plain [x, y, z] arrays in mm; these are the few operations on them.

export const add = (a, b) => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const sub = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const times = (a, s) => [a[0] * s, a[1] * s, a[2] * s];
export const along = (p, d, s) => add(p, times(d, s));
export const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
export const norm = (a) => Math.hypot(a[0], a[1], a[2]);
export const unit = (a) => times(a, 1 / norm(a));

/** The i-th point of a flat xyz array. */
export const pointAt = (flat, i) => [flat[3 * i], flat[3 * i + 1], flat[3 * i + 2]];
