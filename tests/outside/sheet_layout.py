"""Whether a page can be read: nothing at the paper's edge, no text on another, none struck through."""

from math import inf

import numpy as np

from report import equal
from sheet_page import farthest

PLACES = "pdfminer texts and paths"
SIZES = "pdfminer page box, ISO 216 and ANSI Y14.1"

PAPERS = {"a4": (210.0, 297.0), "letter": (8.5 * 25.4, 11 * 25.4)}  # mm
SAME_PAPER = 0.01  # mm
EDGE = 5.0  # mm, what printers leave white
ON_EACH_OTHER = 0.3  # mm, in both directions


def layout_checks(name, page, paper):
    return [
        paper_check(name, page, paper),
        equal(name, f"nearer than {EDGE:g} mm to the edge", at_edge(page), [], PLACES),
        equal(name, "texts on each other", collisions(page), [], PLACES),
        equal(name, "texts crossed by a line", struck(page), [], PLACES),
        equal(name, "numbers drawn over", drawn_over(page), [], PLACES),
    ]


def paper_check(name, page, paper):
    """Templates may lie across."""
    wide, high = page.size
    lies_across = page.is_template and wide > high
    off = farthest(page.size, PAPERS[paper][::-1] if lies_across else PAPERS[paper])
    return equal(name, f"is {paper} paper", off <= SAME_PAPER, True, SIZES)


def at_edge(page):
    wide, high = page.size
    things = [(run.text, run.box, 0.0) for run in page.runs]
    things += [("a line", one.box, one.pen / 2) for one in page.drawn]
    return [
        f"{what} at {box[0]:.1f} {box[1]:.1f}"
        for what, box, half in things
        if min(box[0], box[1], wide - box[2], high - box[3]) - half < EDGE
    ]


def collisions(page):
    found = []
    for i, first in enumerate(page.runs):
        for second in page.runs[i + 1 :]:
            (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = first.box, second.box
            shared = min(ax1, bx1) - max(ax0, bx0), min(ay1, by1) - max(ay0, by0)
            if min(shared) > ON_EACH_OTHER:
                found.append(f"{first.text!r} on {second.text!r}")
    return found


def struck(page):
    """A line that is painted first is no harm where something is filled in between."""
    found = []
    for run in page.runs:
        under = max((one.place for one in page.drawn if one.fill and covers(one, run)), default=-inf)
        lines = [one for one in page.drawn if one.pen and one.place > under and reaches(one, run.box)]
        found += [run.text] if lines else []
    return found


def covers(drawn, run):
    x0, y0, x1, y1 = drawn.box
    left, low, right, high = run.box
    return drawn.place < run.place and x0 <= left and y0 <= low and x1 >= right and y1 >= high


def reaches(drawn, box):
    half = drawn.pen / 2
    x0, y0, x1, y1 = drawn.box
    if x1 + half < box[0] or x0 - half > box[2] or y1 + half < box[1] or y0 - half > box[3]:
        return False
    low, high = np.array(box[:2]) - half, np.array(box[2:]) + half
    return bool(((low < drawn.points) & (drawn.points < high)).all(axis=1).any())


def drawn_over(page):
    """Discs into whose ring anything but their own number is painted afterwards."""
    discs = [one for one in page.drawn if one.fill and one.pen and one.is_circle]
    return [number_in(page, disc) for disc in discs if any(touches(one, disc) for one in page.drawn)]


def number_in(page, disc):
    return next((run.text for run in page.runs if run.place > disc.place and covers(disc, run)), "?")


def touches(drawn, disc):
    if drawn.place <= disc.place:
        return False
    away = np.linalg.norm(drawn.points - disc.middle, axis=1)
    return bool(away.min() - drawn.pen / 2 < (disc.size[0] - disc.pen) / 2)
