// The colours, red, green and blue from 0 to 1. The page may replace any of them by its key.

export const palette = {
  background: [0.965, 0.96, 0.95],
  edge: [0.14, 0.14, 0.16],
  cap: [1, 1, 1],
  mark: [0.78, 0.1, 0.3],
  cover: [0.95, 0.89, 0.76],
  baseplate: [0.58, 0.7, 0.8],
  "flatwork-bottom": [0.85, 0.63, 0.42],
  "flatwork-top": [0.68, 0.76, 0.54],
  rout: [0.6, 0.42, 0.28],
  strings: [0.76, 0.76, 0.78],
  rods: [0.66, 0.67, 0.71],
};

export const mixed = (a, b, share) => a.map((value, i) => value + (b[i] - value) * share);
