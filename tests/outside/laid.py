"""A part's level sections: as the file draws them, as they come out of the simulated printer, and as
the STEP solid has them. All are given in the part's own x and y, at nominal heights over its underside.
"""

import numpy as np
import trimesh
from shapely import affinity

from lying import frame, loaded
from sections import Printer, section
from solid_mesh import skinned

FINE = 0.001  # mm; chord of the triangles that stand for the STEP solid
SAME_LEVEL = 1e-4  # mm; 32 bits tell levels apart that differ by more


class Laid:
    def __init__(self, folder, part, profile, solid):
        rotation, shift = frame(part)
        self.printer = Printer.of(profile)
        self.lies = loaded(folder / part["files"]["stl"])
        self.turn = rotation[:2, :2]
        self.is_turned_over = part["printed"]["on_bed"] == "top"
        self.height = part["bounds_mm"]["max"][2]
        # Both round the part's own middle, where stretching begins; heights stay those over the bed.
        level = shift * (1, 1, 0)
        self.drawn_mesh = trimesh.Trimesh(self.lies.vertices - level, self.lies.faces, process=False)
        nominal = skinned(solid, FINE).mesh
        corners = nominal.vertices @ rotation.T + (0, 0, self.height if self.is_turned_over else 0.0)
        self.nominal_mesh = trimesh.Trimesh(corners, nominal.faces, process=False)
        self.kept = {}

    def over_bed(self, height):
        return self.height - height if self.is_turned_over else height

    def back(self, area):
        """From the bed's x and y to the part's."""
        (a, b), (d, e) = self.turn.T
        return affinity.affine_transform(area, [a, b, d, e, 0, 0])

    def once(self, key, make):
        if key not in self.kept:
            self.kept[key] = make()
        return self.kept[key]

    def raw(self, over_bed):
        """In the bed's x and y."""
        level = self.printer.drawn(over_bed)
        return self.once(("raw", over_bed), lambda: section(self.drawn_mesh, level))

    def drawn(self, over_bed):
        return self.back(self.raw(over_bed))

    def stretched(self, over_bed):
        return self.back(self.printer.stretched(self.raw(over_bed)))

    def printed(self, over_bed):
        def make():
            return self.back(self.printer.printed(self.raw(over_bed), 0.0))

        return self.once(("printed", over_bed), make)

    def nominal(self, over_bed):
        return self.once(("nominal", over_bed), lambda: self.back(section(self.nominal_mesh, over_bed)))

    @property
    def first(self):
        """Half way up the first layer; that is told from the next ones by where it is drawn."""
        return self.printer.layer / 2

    def first_printed(self):
        """The first layer as it spreads."""

        def make():
            drawn = section(self.drawn_mesh, self.first)
            return self.back(self.printer.printed(drawn, self.printer.foot))

        return self.once("first", make)


def levels(mesh):
    """Heights of the level faces, each once."""
    flat = np.abs(np.abs(mesh.face_normals[:, 2]) - 1) < 1e-6
    heights = np.unique(np.round(mesh.triangles[flat][:, :, 2].mean(axis=1), 7))
    return heights[np.insert(np.diff(heights) > SAME_LEVEL, 0, True)]
