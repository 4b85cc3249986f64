"""Level sections of meshes as areas, and what a printer makes of such an area.

The simulated printer does what the table at the head of crates/spec/src/printer/profile.rs says, to
the drawn outline as a whole: it stretches it along x and y, moves every wall outwards by the growth
(and in the first layer by the foot besides), and closes round holes by their own loss instead.
Walls are moved with mitred corners, so that sharp corners stay sharp and flat walls exact. Of round
holes at the bed the table says nothing; taken is what it says of a hole that wide, less the foot.
"""

from dataclasses import dataclass
from functools import reduce
from math import sqrt

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon

SMALL_HOLE = 3.0  # mm; the hole at which a profile's `hole_near` is all of it
ROUND = 1e-2  # of a ring's width: so near are its corners to one circle
STRAIGHT = 1e-5  # mm; a corner stands off the line past it by more, rounding to 32 bits does not
CORNERS = 12  # with fewer corners it may be anything
MITRE = {"join_style": "mitre", "mitre_limit": 10.0}
UP = (0.0, 0.0, 1.0)


def section(mesh, height):
    """The area of material at a height; the rings in one another alternate between inside and out."""
    cut = mesh.section(plane_origin=(0.0, 0.0, height), plane_normal=UP)
    rings = [Polygon(corners_of(loop[:-1, :2])) for loop in cut.discrete]
    if not all(ring.is_valid for ring in rings):
        raise ValueError(f"the section at {height:.3f} mm crosses itself")
    return reduce(shapely.symmetric_difference, rings)


def corners_of(loop):
    """Without the points where a section crosses the middle of a flat strip: they lie on chords, and a
    circle through them would be too small."""
    loop = loop[np.linalg.norm(loop - np.roll(loop, 1, axis=0), axis=1) > STRAIGHT]
    before, after = np.roll(loop, 1, axis=0) - loop, np.roll(loop, -1, axis=0) - loop
    aside = np.abs(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0])
    return loop[aside > STRAIGHT * np.linalg.norm(after - before, axis=1)]


def pieces(area):
    return list(area.geoms) if isinstance(area, MultiPolygon) else [area]


@dataclass
class Circle:
    x: float
    y: float
    diameter: float
    # How far the worst corner lies off it.
    off: float


def circle(ring):
    """The circle through a ring's corners, by least squares: x² + y² = 2 a x + 2 b y + c."""
    points = np.array(ring.coords)[:-1]
    middle = points.mean(axis=0)
    x, y = (points - middle).T
    known = np.column_stack([2 * x, 2 * y, np.ones(len(points))])
    (a, b, c), *_ = np.linalg.lstsq(known, x**2 + y**2, rcond=None)
    radius = np.sqrt(c + a**2 + b**2)
    off = np.abs(np.hypot(x - a, y - b) - radius).max()
    return Circle(middle[0] + a, middle[1] + b, 2 * radius, off)


def is_round(ring):
    """Also a stretched one. The corners of a rounded rectangle are near to one circle too, but leave
    long sides."""
    if len(ring.coords) <= CORNERS:
        return False
    found, points = circle(ring), np.array(ring.coords)
    longest = np.linalg.norm(np.diff(points, axis=0), axis=1).max()
    return bool(found.off <= ROUND * found.diameter and longest <= found.diameter / 2)


def round_holes(area):
    found = [circle(ring) for piece in pieces(area) for ring in piece.interiors if is_round(ring)]
    return sorted(found, key=lambda one: (round(one.x, 2), round(one.y, 2)))


@dataclass
class Printer:
    """The profile of a manifest, mm; stretches as factors."""

    x: float
    y: float
    z: float
    growth: float
    foot: float
    far: float
    near: float
    lift: float
    layer: float

    @classmethod
    def of(cls, profile):
        x, y, z = (1 + one["value"] / 100 for one in profile["stretch_mm"])
        words = ("growth_mm", "foot_mm", "hole_far_mm", "hole_near_mm", "lift_mm")
        return cls(x, y, z, *(profile[word]["value"] for word in words), profile["layer_mm"])

    @property
    def mean(self):
        return (self.x + self.y) / 2

    def loss(self, drawn):
        """Of a hole's diameter."""
        return self.far + self.near * SMALL_HOLE / drawn

    def drawn_hole(self, wanted):
        """The diameter that comes out as wanted: the larger root of mean d² - (wanted + far) d = 3 near."""
        b, c = wanted + self.far, SMALL_HOLE * self.near
        return (b + sqrt(max(b * b + 4 * self.mean * c, 0.0))) / (2 * self.mean)

    def height(self, drawn):
        return self.z * drawn + self.lift

    def drawn(self, height):
        """The drawn level that comes out at a height over the bed."""
        return (height - self.lift) / self.z

    def stretched(self, area):
        return affinity.scale(area, self.x, self.y, origin=(0, 0))

    def printed(self, area, foot):
        """What becomes of a drawn section; `foot` is how far this layer spreads besides."""
        walls, holes = [], []
        for piece in pieces(area):
            walls.append(Polygon(piece.exterior, [one for one in piece.interiors if not is_round(one)]))
            holes += [one for one in piece.interiors if is_round(one)]
        grown = self.stretched(MultiPolygon(walls)).buffer(self.growth + foot, **MITRE)
        for ring in holes:
            # Shrunk about its middle: moving its chords instead would move its corners by more.
            hole = circle(ring)
            left = 1 - (self.loss(hole.diameter) + 2 * foot) / (self.mean * hole.diameter)
            middle = self.x * hole.x, self.y * hole.y
            less = affinity.scale(self.stretched(Polygon(ring)), left, left, origin=middle)
            grown = grown.difference(less)
        return grown
