"""parts.py against sums done by hand, and its offsets against the fillet operator.

Whoever checks others must be checked: python -m unittest test_parts (no program needed).
"""

import unittest
from math import acos, atan2, cos, hypot, pi, sqrt, tan

import parts
from measure import genus, is_valid, volume
from outlines import eared, hollow
from solids import cut, cylinder, edges, ends, filleted, fuse, is_upright, plate, stepped_body

BOSSED = {
    "length": 96.0, "width": 34.0, "height": 16.0, "corner_radius": 6.0, "rounding": 1.5,
    "wall": 2.0, "roof": 2.0, "inner_radius": 1.0, "screw_hole": 3.4, "screws": [[-42.0, 0.0], [42.0, 0.0]],
    "mounting": {"kind": "bosses", "boss_diameter": 9.0, "recess_diameter": 6.0, "recess_depth": 2.5},
    "pole_hole": 5.2, "pole_holes": [[-28.5, 0.0], [-9.5, 0.0], [9.5, 0.0], [28.5, 0.0]],
    "lead_out": {"x0": -3.0, "x1": 3.0, "y0": 14.0, "y1": 18.0, "height": 3.0},
}
AT_BOTH_ENDS = [{"towards": [side, 0.0], "offset": 0.0, "reach": 47.0} for side in (-1.0, 1.0)]
EARED = {
    "length": 70.0, "width": 30.0, "height": 18.0, "corner_radius": 5.0, "rounding": 3.0,
    "wall": 2.0, "roof": 2.0, "inner_radius": 1.0, "screw_hole": 3.4, "screws": [[-41.0, 0.0], [41.0, 0.0]],
    "mounting": {"kind": "ears", "ear_length": 12.0, "ear_width": 14.0, "ear_thickness": 3.0,
                 "ear_corner_radius": 4.0, "blend": 3.0, "ears": AT_BOTH_ENDS},
    "pole_hole": 5.2, "pole_holes": [],
    "lead_out": {"x0": -3.0, "x1": 3.0, "y0": 12.0, "y1": 16.0, "height": 3.0},
}
SHARED = ("length", "width", "corner_radius", "screw_hole", "screws", "mounting")
PLATE = {key: EARED[key] for key in SHARED} | {
    "thickness": 2.5, "lead_out": None,
    "lip": {"gap": 0.2, "wall": 1.5, "height": 2.0, "cover_wall": 2.0, "cover_inner_radius": 1.0},
}


def rounded(length, width, radius):
    return length * width - (4 - pi) * radius**2


def disc(diameter):
    return pi * diameter**2 / 4


def rounding_loss(length, width, radius, rounding):
    """A rounded rectangle stepped in by s has area A - P s + pi s^2, P its border. At height t
    above the start of the rounding s = rounding - sqrt(rounding^2 - t^2); the integrals of s and
    s^2 over t = 0..rounding are rounding^2 (1 - pi/4) and rounding^3 (5/3 - pi/2)."""
    border = 2 * (length + width) - (8 - 2 * pi) * radius
    return border * rounding**2 * (1 - pi / 4) - pi * rounding**3 * (5 / 3 - pi / 2)


def body(d):
    size = d["length"], d["width"], d["corner_radius"]
    return rounded(*size) * d["height"] - rounding_loss(*size, d["rounding"])


def boss_in_air(boss, reach, fillet):
    """Area one boss and its two fillets take from the air. `reach`: boss centre to end wall.

    The rolled disc touches the wall and the boss, so its centre is `fillet` off the wall and
    boss radius + `fillet` off the boss. The polygon boss centre - upper disc centre - foot on
    the wall - lower foot - lower disc centre, less the two sectors of the discs in it, plus the
    rest of the boss, is what the air loses. Discs close enough to overlap have their common lens
    taken off twice.
    """
    across = reach - fillet
    up = sqrt((boss / 2 + fillet) ** 2 - across**2)
    turn = atan2(up, across)
    polygon = across * up + fillet * 2 * up
    lens = 0.0
    if up < fillet:
        lens = 2 * fillet**2 * acos(up / fillet) - 2 * up * sqrt(fillet**2 - up**2)
    return polygon - (pi - turn) * fillet**2 + lens + disc(boss) * (1 - turn / pi)


def tab(d, ears):
    ear = ears["ear_length"] * ears["ear_width"] - (2 - pi / 2) * ears["ear_corner_radius"] ** 2
    return ear + (2 - pi / 2) * ears["blend"] ** 2


class Volumes(unittest.TestCase):
    def same(self, part, d, by_hand, holes):
        solid = parts.build({"part": part, "dimensions": d})
        self.assertTrue(is_valid(solid))
        self.assertEqual(genus(solid), holes)
        self.assertLess(abs(volume(solid) / by_hand - 1), 1e-12)

    def test_cover_with_bosses(self):
        d = BOSSED
        air = rounded(92, 30, 4) - 2 * boss_in_air(9, 92 / 2 - 84 / 2, 1)
        screws = 2 * (disc(3.4) * (16 - 2.5) + disc(6) * 2.5)
        poles = 4 * disc(5.2) * 2
        lead_out = 6 * 2 * 3  # only the wall, y 15..17, is there to be cut
        self.same("cover", d, body(d) - air * 14 - screws - poles - lead_out, 6)

    def test_cover_with_ears(self):
        d = EARED
        ears = 2 * 3 * (tab(d, d["mounting"]) - disc(3.4))
        self.same("cover", d, body(d) + ears - rounded(66, 26, 3) * 16 - 6 * 2 * 3, 2)

    def test_baseplate_with_lip(self):
        d = PLATE
        base = 2.5 * (rounded(70, 30, 5) + 2 * tab(d, d["mounting"]) - 2 * disc(3.4))
        ring = 2.0 * (rounded(65.6, 25.6, 2.8) - rounded(62.6, 22.6, 1.3))
        self.same("baseplate", d, base + ring, 2)

    def test_baseplate_open_lip(self):
        d = PLATE | {"lead_out": {"x0": -3.0, "x1": 3.0, "y0": 10.0, "y1": 16.0}}
        base = 2.5 * (rounded(70, 30, 5) + 2 * tab(d, d["mounting"]) - 2 * disc(3.4) - 6 * 5)
        ring = 2.0 * (rounded(65.6, 25.6, 2.8) - rounded(62.6, 22.6, 1.3) - 6 * 1.5)
        self.same("baseplate", d, base + ring, 2)

    def test_lip_opening_leaves_the_plate_whole(self):
        opening = {"x0": -3.0, "x1": 3.0, "y0": 10.0, "y1": 16.0}
        whole = parts.build({"part": "baseplate", "dimensions": PLATE})
        d = PLATE | {"lip_opening": opening}
        self.same("baseplate", d, volume(whole) - 6 * 1.5 * 2.0, 2)

    def test_flatwork(self):
        common = {"centre_x": 1.5, "length": 60.0, "width": 18.0, "thickness": 1.6, "pole_hole": 4.8,
                  "pole_holes": [[-8.0, 0.0], [11.0, 0.0]], "reliefs": []}
        waists = [{"x": 1.5, "y": side * 9.0, "radius": 1.0} for side in (-1, 1)]
        bottom = common | {"corner_radius": 9.0, "waists": waists,
                           "eyelet_hole": 1.5, "eyelet_holes": [[-3.0, 6.0], [3.0, 6.0]]}
        flat = rounded(60, 18, 9) - 2 * disc(4.8) - 2 * disc(1.5) - disc(2)
        self.same("flatwork-bottom", bottom, 1.6 * flat, 4)
        # Round a boss at (24, 6), a corner cut off; and a notch in the long edge at (-20, -7).
        reliefs = [{"x": 24.0, "y": 6.0, "radius": 4.0, "corner": True, "to_neck": True},
                   {"x": -20.0, "y": -7.0, "radius": 3.0, "corner": False, "to_neck": False}]
        cut_off = (30 - 20) * (9 - 2) - (1 - pi / 4) * 4**2
        notch = 6 * 2 + pi * 3**2 / 2
        relieved = bottom | {"centre_x": 0.0, "reliefs": reliefs, "corner_radius": 0.0, "waists": []}
        whole = 60 * 18 - 2 * disc(4.8) - 2 * disc(1.5)
        self.same("flatwork-bottom", relieved, 1.6 * (whole - cut_off - notch), 4)
        top = common | {"corner_radius": 4.0, "mark": {"x": -28.5, "y": 0.0, "radius": 1.5}}
        self.same("flatwork-top", top, 1.6 * (rounded(60, 18, 4) - 2 * disc(4.8) - disc(3) / 2), 2)


def at(pitch):
    return [(-pitch / 2, 0.0), (pitch / 2, 0.0)]


class Outlines(unittest.TestCase):
    def test_corners_of_their_own(self):
        radii = [4.0, 6.0, 9.0, 5.0]
        by_hand = 96 * 34 - (1 - pi / 4) * sum(radius**2 for radius in radii)
        self.near(plate(96, 34, radii, 0, 1), by_hand)
        # Inside of a wall of 2 they are less round by as much, and none is less than 1.
        air = 92 * 30 - (1 - pi / 4) * (2**2 + 4**2 + 7**2 + 3**2)
        self.near(hollow((96, 34, radii), 2, 1, None, 0, 0, 1), air)

    def test_slanted_sides(self):
        # A parallelogram of 80 by 30 that leans by 8, and what each corner lacks of it: r² (tan(t/2) - t/2) for a turn t.
        corners, lean = [(-44.0, -15.0), (36.0, -15.0), (44.0, 15.0), (-36.0, 15.0)], atan2(8, 30)

        def area(length, width, sharp, wide):
            lost = [tan(turn / 2) - turn / 2 for turn in (pi / 2 + lean, pi / 2 - lean)]
            return length * width - 2 * sharp**2 * lost[0] - 2 * wide**2 * lost[1]

        body = corners, [4.0, 6.0, 4.0, 6.0]
        self.near(stepped_body(body, 0, 0, 1), area(80, 30, 4, 6))
        # Inside of a wall of 2 the sides are nearer by 2 each, square to themselves.
        self.near(hollow(body, 2, 1, None, 0, 0, 1), area(80 - 4 / cos(lean), 26, 2, 4))

    def test_bosses_off_the_middle_line(self):
        # The end walls are straight there: each boss takes what it takes on the line.
        air = rounded(92, 30, 4) - boss_in_air(9, 46 - 42, 1) - boss_in_air(9, 46 - 41, 1)
        self.near(hollow((96, 34, 6), 2, 1, (9, [(-42.0, 1.5), (41.0, -2.0)]), 0, 0, 1), air)

    def test_bosses_at_every_distance_from_the_wall(self):
        # Half length of the air 46, boss 9, fillet 1: cutting the wall, touching it (83), closer
        # than two fillets, so close to two that only spikes remain (79.1), two (79), free.
        for pitch in (88, 84, 83, 82, 81, 79.5, 79.1):
            air = rounded(92, 30, 4) - 2 * boss_in_air(9, 46 - pitch / 2, 1)
            self.near(hollow((96, 34, 6), 2, 1, (9, at(pitch)), 0, 0, 1), air)
        for pitch in (79, 78, 70):
            self.near(hollow((96, 34, 6), 2, 1, (9, at(pitch)), 0, 0, 1), rounded(92, 30, 4) - 2 * disc(9))

    def test_stepping_in_past_the_fillet_leaves_sharp_corners(self):
        inner = hollow((96, 34, 6), 2, 1, (9, at(84)), 1.7, 0, 1)
        boss, reach = 9 + 2 * 1.7, 92 / 2 - 1.7 - 84 / 2
        half = acos(reach / (boss / 2))
        lost = disc(boss) * (1 - half / pi) + reach * boss / 2 * sqrt(1 - (reach / (boss / 2)) ** 2)
        self.near(inner, rounded(88.6, 26.6, 2.3) - 2 * lost)

    def test_offset_agrees_with_the_fillet_operator(self):
        sharp = cut(plate(92, 30, 4, 0, 1), [cylinder(side * 42, 0, 9, -1, 2) for side in (-1, 1)])
        meet = [edge for edge in edges(sharp) if is_upright(edge) and abs(abs(ends(edge)[0].X()) - 46) < 1e-6
                and abs(hypot(4, ends(edge)[0].Y()) - 4.5) < 1e-6]
        self.assertEqual(len(meet), 4)
        self.near(hollow((96, 34, 6), 2, 1, (9, at(84)), 0, 0, 1), volume(filleted(sharp, meet, 1)))

    def test_blend_agrees_with_the_fillet_operator(self):
        ears = {"ear_length": 12.0, "ear_width": 12.0, "ear_corner_radius": 4.0, "blend": 2.0, "ears": AT_BOTH_ENDS}
        joined = fuse(plate(70, 30, 5, 0, 1), [plate(94, 12, 4, 0, 1)])
        meet = [edge for edge in edges(joined) if is_upright(edge) and abs(abs(ends(edge)[0].X()) - 35) < 1e-6
                and abs(abs(ends(edge)[0].Y()) - 6) < 1e-6]
        self.assertEqual(len(meet), 4)
        self.near(eared((70, 30, 5), ears, 0, 1), volume(filleted(joined, meet, 2)))

    def test_blend_that_runs_into_the_rounded_corner(self):
        # One quarter. Body corner centre (30, 5); the blend's centre is 5 + 3 off it, at y = 7 + 3.
        ears = {"ear_length": 12.0, "ear_width": 14.0, "ear_corner_radius": 4.0, "blend": 3.0, "ears": AT_BOTH_ENDS}
        dx, dy = sqrt(8**2 - 5**2), 5.0
        rest = pi / 2 - atan2(dy, dx)
        below = 30 * 10 + 17 * 5 + (17 - dx) * 2 - (1 - pi / 4) * 4**2
        between = dx * dy / 2 - 3**2 * rest / 2 + 5**2 * rest / 2
        self.near(eared((70, 20, 5), ears, 0, 1), 4 * (below + between))

    def test_an_ear_at_a_long_side(self):
        # Off the side's middle, clear of the corners: what it adds by hand, two blends at its root included.
        places = [{"towards": [0.0, 1.0], "offset": 8.0, "reach": 27.0}]
        ears = {"ear_length": 12.0, "ear_width": 14.0, "ear_corner_radius": 4.0, "blend": 2.0, "ears": places}
        ear = 12 * 14 - (2 - pi / 2) * 4**2 + (2 - pi / 2) * 2**2
        self.near(eared((70, 30, 5), ears, 0, 1), rounded(70, 30, 5) + ear)

    def near(self, prism, by_hand):
        self.assertTrue(is_valid(prism))
        self.assertLess(abs(volume(prism) / by_hand - 1), 1e-11)


if __name__ == "__main__":
    unittest.main()
