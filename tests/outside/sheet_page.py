"""What stands on a sheet's page: drawn paths and runs of text in the order in which they are painted,
in millimetres from the lower left corner. Extents and points of curves are svgelements' work."""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import svgelements
from pdfminer.fontmetrics import FONT_METRICS

ROUND = 1e-3  # mm; below this two lengths are one and the same
BELOW = set("gjpqy,;()")  # what reaches below the line that letters stand on


@dataclass
class Drawn:
    """A path. `place` counts what is painted, so that a later one lies on top."""

    place: int
    shape: svgelements.Path
    pen: float  # width of its line, 0 without one
    fill: tuple | None
    dashed: bool

    @cached_property
    def box(self):
        return tuple(float(side) for side in self.shape.bbox())

    @cached_property
    def points(self):
        return sampled(self.shape)

    @property
    def size(self):
        return self.box[2] - self.box[0], self.box[3] - self.box[1]

    @property
    def middle(self):
        return (self.box[0] + self.box[2]) / 2, (self.box[1] + self.box[3]) / 2

    @property
    def closed(self):
        return isinstance(self.shape[-1], svgelements.Close)

    @cached_property
    def is_circle(self):
        off = np.linalg.norm(self.points - self.middle, axis=1) - self.size[0] / 2
        return self.closed and bool(np.abs(off).max() < ROUND)

    @cached_property
    def is_rectangle(self):
        x0, y0, x1, y1 = self.box
        off = np.abs(self.points[:, :, None] - np.array([(x0, x1), (y0, y1)])).min(axis=(1, 2))
        return self.closed and bool(off.max() < ROUND)


@dataclass
class Run:
    """Text set in one go. Its widths are those of pdfminer's own copy of the Core 14 metrics."""

    place: int
    text: str
    font: str
    size: float
    ink: tuple
    left: float
    right: float
    base: float

    @property
    def bold(self):
        return self.font.endswith("Bold")

    @property
    def middle(self):
        """Of its width, and of its capitals' height."""
        return (self.left + self.right) / 2, self.base + self.of_size("CapHeight") / 2

    @property
    def box(self):
        """Down to the descenders where there are any."""
        below = self.of_size("Descent") if BELOW & set(self.text) else 0.0
        return self.left, self.base + below, self.right, self.base + self.of_size("CapHeight")

    def of_size(self, name):
        return FONT_METRICS[self.font][0][name] / 1000 * self.size


@dataclass
class Page:
    number: int
    size: tuple
    drawn: list = field(default_factory=list)
    runs: list = field(default_factory=list)

    @property
    def is_template(self):
        return any("Template 1:1" in run.text for run in self.runs)


def sampled(shape, step=0.1):
    """Points along a path, so close that chords stand for its arcs within 0.001 mm."""
    found = []
    for one in shape:
        if one.start is None:
            continue
        between = [getattr(one, name) for name in ("control1", "control2") if hasattr(one, name)]
        corners = [one.start, *between, one.end]
        length = sum(abs(b - a) for a, b in zip(corners, corners[1:]))
        found.append(one.npoint(np.linspace(0, 1, int(length / step) + 2)))
    return np.concatenate(found)


def farthest(first, second):
    return max(abs(a - b) for a, b in zip(first, second, strict=True))
