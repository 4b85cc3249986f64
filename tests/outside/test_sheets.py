"""The sheet checks' own measurements against sums done by hand (no program needed)."""

import unittest
from math import sqrt

import svgelements

from sheet_layout import at_edge, collisions, drawn_over, struck
from sheet_page import Drawn, Page, Run
from sheet_play import least_play
from sheet_rows import row_checks

BLACK, WHITE = (0.07, 0.07, 0.07), (1.0, 1.0, 1.0)


def line(place, d, pen=0.2, fill=None, dashed=False):
    return Drawn(place, svgelements.Path(d), pen, fill, dashed)


def circle(place, x, y, radius, fill=None):
    arc = f"A{radius} {radius} 0 0 0"
    return line(place, f"M{x + radius} {y}{arc}{x - radius} {y}{arc}{x + radius} {y}Z", fill=fill)


def rounded(x, y, radius):
    """Round the origin, x and y to either side."""
    a, b, arc = x - radius, y - radius, f"A{radius} {radius} 0 0 1"
    right = f"M{a} {-y}{arc}{x} {-b}L{x} {b}{arc}{a} {y}"
    return line(0, f"{right}L{-a} {y}{arc}{-x} {b}L{-x} {-b}{arc}{-a} {-y}Z")


def text(place, words, x, y, ink=BLACK, font="Helvetica"):
    """Two millimetres high, one for each letter wide."""
    return Run(place, words, font, 2.0, ink, x, x + len(words), y)


class Outlines(unittest.TestCase):
    def test_play_between_outlines_with_one_centre_of_rounding(self):
        play = least_play(rounded(30, 12, 3).points, rounded(30.4, 12.4, 3.4).points)
        self.assertAlmostEqual(play, 0.4, delta=5e-4)

    def test_play_at_corners_that_are_too_sharp(self):
        # Along the diagonal: from the inner corner's middle to its arc, and to the outer arc.
        inner, outer = 29 * sqrt(2) + 1, 27.4 * sqrt(2) + 3
        play = least_play(rounded(30, 30, 1).points, rounded(30.4, 30.4, 3).points)
        self.assertLess(play, 0)
        self.assertAlmostEqual(play, outer - inner, delta=2e-3)  # the corner is met between two points

    def test_what_is_round_and_what_is_square(self):
        self.assertTrue(circle(0, 5, 6, 2).is_circle)
        self.assertFalse(rounded(5, 5, 4.9).is_circle)
        self.assertTrue(line(0, "M0 0L4 0L4 3L0 3L0 0Z").is_rectangle)
        self.assertFalse(line(0, "M0 0L4 0L4 3L1 3L0 0Z").is_rectangle)

    def test_extent_of_a_curve_is_not_that_of_its_handles(self):
        self.assertAlmostEqual(line(0, "M0 0C0 4 3 4 3 0").box[3], 3.0, delta=1e-9)


class Layout(unittest.TestCase):
    def page(self, *things):
        drawn = [one for one in things if isinstance(one, Drawn)]
        return Page(1, (100, 100), drawn, [one for one in things if isinstance(one, Run)])

    def test_edge(self):
        page = self.page(text(0, "in", 5.1, 50), text(1, "out", 92.5, 50), line(2, "M50 5.05L60 5.05"))
        self.assertEqual(at_edge(page), ["out at 92.5 50.0", "a line at 50.0 5.0"])

    def test_texts_on_each_other(self):
        page = self.page(text(0, "one", 10, 50), text(1, "two", 12.6, 51), text(2, "three", 15.8, 51))
        self.assertEqual(collisions(page), ["'one' on 'two'"])

    def test_texts_crossed_by_a_line(self):
        mark = line(0, "M12 40L12 60")
        board = line(1, "M8 48L20 48L20 54L8 54Z", fill=WHITE)
        self.assertEqual(struck(self.page(mark, text(2, "name", 10, 50))), ["name"])
        self.assertEqual(struck(self.page(mark, board, text(2, "name", 10, 50))), [])
        self.assertEqual(struck(self.page(line(3, "M9 52L20 52"), text(2, "name", 10, 50))), [])

    def test_numbers_drawn_over(self):
        disc, number = circle(0, 50, 50, 2, WHITE), text(1, "7", 49.5, 49.3)
        self.assertEqual(drawn_over(self.page(disc, number, line(2, "M51.7 40L51.7 60"))), ["7"])
        self.assertEqual(drawn_over(self.page(disc, number, line(2, "M52.2 40L52.2 60"))), [])


class Rows(unittest.TestCase):
    def sheet(self, second=2, fill=BLACK, ink=WHITE, first=1):
        page = Page(1, (210, 297))
        for i, (number, name) in enumerate([(first, "rod.length"), (second, "scale")]):
            y, place = 200 - 10 * i, 10 * i
            page.drawn.append(circle(place, 12, y, 2, fill))
            page.runs.append(text(place + 1, str(number), 11.5, y - 0.718, ink))
            page.runs.append(text(place + 2, name, 40, y))
        return page

    def verdicts(self, page, asked=("rod.length", "scale")):
        return {one.what: one.passed for one in row_checks("a", [page], set(asked))}

    def test_a_sheet_as_it_should_be(self):
        self.assertNotIn(False, self.verdicts(self.sheet()).values())

    def test_slips_are_seen(self):
        self.assertFalse(self.verdicts(self.sheet(second=3))["row numbers missing, or more than there are rows"])
        self.assertFalse(self.verdicts(self.sheet(second=1))["row numbers missing, or more than there are rows"])
        turned = self.verdicts(self.sheet(first=2, second=1))
        self.assertFalse(turned["rows whose number is lower than the one above"])
        self.assertFalse(self.verdicts(self.sheet(fill=WHITE, ink=BLACK))["discs whose ink belies the row"])
        self.assertFalse(self.verdicts(self.sheet(ink=BLACK))["numbers that do not stand out"])
        missing = self.verdicts(self.sheet(), ["rod.length", "scale", "screw.head"])
        self.assertFalse(missing["quantities missing, or not asked for"])


if __name__ == "__main__":
    unittest.main()
