"""How far apart the parts on a plate are, and whether they lie on the bed.

All parts stand on one bed, so the distance of their shadows on it is the least distance that they
can have at any height.
"""

from itertools import combinations
from math import hypot, inf

import numpy as np
import shapely

SLIVER = 1e-9  # mm2; a wall's shadow is a line, which the shadows beside it hold anyway


def shadow(vertices, triangles):
    """All triangles seen from above, as one area."""
    flat = vertices[triangles][:, :, :2]
    across = flat[:, 1:] - flat[:, :1]
    twice = across[:, 0, 0] * across[:, 1, 1] - across[:, 0, 1] * across[:, 1, 0]
    return shapely.union_all(shapely.polygons(flat[np.abs(twice) > 2 * SLIVER]))


def boxes_apart(first, second):
    """Distance of two boxes (low x, low y, high x, high y): never more than that of what is in them."""
    across = max(second[0] - first[2], first[0] - second[2], 0.0)
    along = max(second[1] - first[3], first[1] - second[3], 0.0)
    return hypot(across, along)


def least_gap(shadows, enough):
    """The least distance between two of the shadows, and how many pairs had to be measured: those
    whose boxes lie closer than `enough`."""
    least, measured = inf, 0
    for first, second in combinations(shadows, 2):
        gap = boxes_apart(first.bounds, second.bounds)
        if gap < enough:
            gap, measured = first.distance(second), measured + 1
        least = min(least, gap)
    return least, measured


def beyond(vertices, bed):
    """How far the corners reach out of the bed's box, mm; 0 when all are inside."""
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    return float(max(0.0, (-low).max(), (high - np.array(bed, dtype=float)).max()))
