"""Sections, the simulated printer and its calipers against sums done by hand (no program needed)."""

import unittest
from math import pi

import numpy as np
import trimesh
from shapely.geometry import Point, box

import parts
from calipers import apart, astray, between, crossed, diameter, extent, thickness
from laid import FINE, levels
from lying import frame_faults, turned_back
from measure import area, curved_area
from readings import readings
from sections import Printer, circle, corners_of, is_round, pieces, round_holes, section
from solid_mesh import skinned
from solids import cylinder, cut, plate
from test_parts import BOSSED, EARED, PLATE

# Stretches of 0.2 and -0.4 per cent, growth, foot, far, near, lift, layer.
PRINTER = Printer(1.002, 0.996, 0.99, 0.1, 0.25, 0.15, 0.06, 0.05, 0.2)


def disc(x, y, wide):
    return Point(x, y).buffer(wide / 2, quad_segs=30)


class Sections(unittest.TestCase):
    def test_rings_in_rings(self):
        # A tube in a frame: material, air, material, air.
        frame = cut(plate(60, 40, 0, 0, 5), [plate(50, 30, 0, -1, 6)])
        tube = cut(cylinder(0, 0, 20, 0, 5), [cylinder(0, 0, 10, -1, 6)])
        both = trimesh.util.concatenate([skinned(one, FINE).mesh for one in (frame, tube)])
        found = section(both, 2.5)
        self.assertEqual(sorted(len(one.interiors) for one in pieces(found)), [1, 1])
        self.assertAlmostEqual(found.area, 60 * 40 - 50 * 30 + pi * (100 - 25), delta=0.15)
        self.assertEqual(levels(both).tolist(), [0.0, 5.0])

    def test_points_on_chords_do_not_count(self):
        square = np.array([(0, 0), (1, 0), (2, 0), (2, 2), (1, 2), (0, 2), (0, 2), (0, 1)], dtype=float)
        self.assertEqual(len(corners_of(square)), 4)

    def test_circles(self):
        found = circle(disc(3, -2, 5).exterior)
        self.assertAlmostEqual(found.x, 3, places=9)
        self.assertAlmostEqual(found.y, -2, places=9)
        self.assertAlmostEqual(found.diameter, 5, places=9)

    def test_what_is_round(self):
        self.assertTrue(is_round(disc(0, 0, 4).exterior))
        self.assertFalse(is_round(box(0, 0, 4, 4).exterior))
        self.assertFalse(is_round(box(-39, -13, 39, 13).buffer(1.0).exterior))
        self.assertFalse(is_round(disc(0, 0, 4).union(disc(1, 0, 4)).exterior))


class Prints(unittest.TestCase):
    def test_a_plate_with_hole_and_window(self):
        drawn = box(-50, -30, 50, 30).difference(disc(20, 10, 5)).difference(box(-30, -10, -10, 10))
        for foot in (0.0, 0.25):
            printed, out = PRINTER.printed(drawn, foot), 2 * (0.1 + foot)
            self.assertAlmostEqual(extent(0)(printed), 100.2 + out, places=9)
            self.assertAlmostEqual(extent(1)(printed), 59.76 + out, places=9)
            self.assertAlmostEqual(between(0, 0)(printed), 20 * 1.002 - out, places=9)
            self.assertAlmostEqual(between(1, -20)(printed), 20 * 0.996 - out, places=9)
            (hole,) = round_holes(printed)
            self.assertAlmostEqual(hole.diameter, 5 * 0.999 - 0.15 - 0.06 * 3 / 5 - 2 * foot, delta=1e-4)
            self.assertAlmostEqual(hole.x, 20 * 1.002, places=6)
            self.assertAlmostEqual(hole.y, 10 * 0.996, places=6)

    def test_an_island_grows_like_any_wall(self):
        drawn = box(-50, -30, 50, 30).difference(box(-40, -20, 40, 20)).union(disc(0, 0, 10))
        island = min(pieces(PRINTER.printed(drawn, 0.0)), key=lambda one: one.area)
        self.assertAlmostEqual(circle(island.exterior).diameter, 10 * 0.999 + 0.2, delta=1e-3)

    def test_drawn_so_that_it_comes_out(self):
        wide = PRINTER.drawn_hole(2.7)
        self.assertAlmostEqual(PRINTER.mean * wide - PRINTER.loss(wide), 2.7, places=12)
        self.assertAlmostEqual(PRINTER.height(PRINTER.drawn(15.0)), 15.0, places=12)


class Calipers(unittest.TestCase):
    def test_lines(self):
        frame = box(0, 0, 30, 20).difference(box(2, 3, 26, 16))
        self.assertEqual(crossed(frame, 0, 10), [[0.0, 2.0], [26.0, 30.0]])
        self.assertEqual(thickness(1, 5, 0)(frame), 3.0)
        self.assertEqual(thickness(1, 5, -1)(frame), 4.0)
        self.assertEqual(between(1, 5)(frame), 13.0)

    def test_holes(self):
        area = box(0, 0, 30, 20).difference(disc(5, 5, 4)).difference(disc(11, 13, 3))
        self.assertAlmostEqual(diameter((5.2, 5))(area), 4, places=9)
        self.assertAlmostEqual(apart((5, 5), (11, 13))(area), 10, places=9)
        self.assertAlmostEqual(astray((5.3, 5.4))(area), 0.5, places=9)
        with self.assertRaises(ValueError):
            diameter((20, 5))(area)

    def test_every_reading_of_a_nominal_part(self):
        eyelets = {"eyelet_hole": 1.5, "eyelet_holes": [[-3.0, 6.0], [3.0, 6.0]], "waists": []}
        flat = {"centre_x": 0.0, "length": 60.0, "width": 18.0, "thickness": 1.6, "corner_radius": 4.0,
                "pole_hole": 4.8, "pole_holes": [[-8.0, 0.0], [11.0, 0.0]], "reliefs": []} | eyelets
        kinds = [("cover", BOSSED), ("cover", EARED), ("baseplate", PLATE), ("flatwork-bottom", flat)]
        for kind, d in kinds:
            part = {"part": kind, "dimensions": d}
            mesh = skinned(parts.build(part), FINE).mesh
            for one in readings(part):
                with self.subTest(part=kind, reading=one.word):
                    self.assertAlmostEqual(one.take(section(mesh, one.height)), one.wanted, delta=1e-6)


class Frames(unittest.TestCase):
    TURNED_OVER = [[1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, -1.0]]

    def part(self, side, rotation, shift=(0.0, 0.0, 0.0)):
        return {"printed": {"on_bed": side, "rotation": rotation, "shift_mm": shift}}

    def test_faults_are_seen(self):
        self.assertEqual(frame_faults(self.part("top", self.TURNED_OVER)), [])
        self.assertEqual(frame_faults(self.part("underside", self.TURNED_OVER)), ["another side lies below"])
        mirrored = np.diag([1.0, 1.0, -1.0]).tolist()
        self.assertEqual(frame_faults(self.part("top", mirrored)), ["mirrored"])

    def test_turned_back(self):
        lies = trimesh.Trimesh([(0, 0, 0), (4, 0, 0), (0, 6, 2)], [(0, 1, 2)], process=False)
        back = turned_back(lies, self.part("top", self.TURNED_OVER, (2.0, 3.0, 2.0)))
        self.assertEqual(back.vertices.tolist(), [[-2, 3, 2], [2, 3, 2], [-2, -3, 0]])

    def test_curved_area_when_drawn_out(self):
        post = cylinder(0, 0, 10, 0, 8)
        self.assertAlmostEqual(curved_area(post), 2 * pi * 5 * 8, places=9)
        self.assertAlmostEqual(curved_area(post, 0.5), 2 * pi * 5.5 * 8, places=9)
        self.assertAlmostEqual(area(post), 2 * pi * 5 * 8 + 2 * pi * 25, places=9)


if __name__ == "__main__":
    unittest.main()
