"""surface_distance.py and mesh_rest.py against sums done by hand."""

import unittest
from math import hypot, pi, sqrt

from mesh_rest import meshed, rest
from moved_check import CHORD, CLOSE, hausdorff, most_over
from solids import box, cut, cylinder, edges, filleted, lies_at, only_solid


def compared(was, now):
    earlier, later = meshed(was, CHORD), meshed(now, CHORD)
    removed, added = rest(earlier, later), rest(later, earlier)
    return removed, added, hausdorff(earlier, later, removed, added)


def block(length, height):
    return box(0, length, 0, 20, 0, height)


def drilled(solid, diameter):
    return only_solid(cut(solid, [cylinder(10, 10, diameter, -1, 20)]))


def eased(height, radius):
    disc = cylinder(10, 10, 20, 0, height)
    return filleted(disc, [edge for edge in edges(disc) if lies_at(edge, height)], radius)


class Distances(unittest.TestCase):
    def test_nothing_moved(self):
        removed, added, far = compared(drilled(block(40, 8), 6), drilled(block(40, 8), 6))
        self.assertEqual((removed.volume, added.volume, far), (0.0, 0.0, 0.0))

    def test_an_edge_of_which_both_faces_go_in_moves_by_the_hypotenuse(self):
        removed, added, far = compared(block(40, 8), block(39.6, 7.7))
        self.assertAlmostEqual(removed.volume, 20 * (40 * 8 - 39.6 * 7.7), places=9)
        self.assertEqual(added.volume, 0.0)
        self.assertAlmostEqual(far, hypot(0.4, 0.3), delta=CLOSE)
        self.assertGreater(far, 0.5 - 1e-9)

    def test_an_edge_of_which_one_goes_in_and_one_out_moves_by_the_larger(self):
        _, _, far = compared(block(40, 8), block(39.6, 8.3))
        self.assertAlmostEqual(far, 0.4, places=9)

    def test_a_hole(self):
        removed, added, far = compared(drilled(block(40, 8), 6), drilled(block(40, 8), 6.4))
        exact = 8 * pi / 4 * (6.4**2 - 6**2)
        self.assertLess(abs(removed.volume - exact), removed.room)
        self.assertLess(removed.room, exact / 20)
        self.assertEqual(added.volume, 0.0)
        self.assertAlmostEqual(far, 0.2, delta=2 * CHORD)

    def test_a_new_hole_is_as_far_as_its_walls_are_from_what_there_was(self):
        """The middle of the wall, half the block's height from top and underside."""
        _, _, far = compared(block(40, 8), drilled(block(40, 8), 6))
        self.assertAlmostEqual(far, 4.0, delta=CLOSE)

    def test_a_rounding(self):
        _, _, far = compared(eased(8, 1.0), eased(8, 2.0))
        self.assertAlmostEqual(far, sqrt(2) - 1, delta=2 * CHORD)

    def test_a_rounding_that_sinks_as_it_grows_moves_by_more_than_either(self):
        """By h down and r more: at an angle t above level the surface lies (h + r) sin t + r cos t - r
        further in, at most hypot(h + r, r) - r."""
        _, _, far = compared(eased(8, 1.4), eased(7.7, 2.0))
        self.assertAlmostEqual(far, hypot(0.9, 0.6) - 0.6, delta=2 * CHORD)

    def test_kinds_of_movement(self):
        was = drilled(block(40, 8), 6)
        self.assertEqual(most_over(was, drilled(block(40, 8), 7)), 1.0)
        self.assertEqual(most_over(was, drilled(block(40, 9), 6)), 1.0)
        self.assertEqual(most_over(was, drilled(block(40, 9), 7)), sqrt(2))
        self.assertEqual(most_over(eased(8, 1), eased(8, 2)), 1.0)
        self.assertEqual(most_over(eased(8, 1), eased(9, 2)), 1 + 1 / sqrt(2))


if __name__ == "__main__":
    unittest.main()
