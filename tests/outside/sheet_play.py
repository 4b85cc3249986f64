"""The dashed rout round a template's outline: the play on paper is the play that `check` states."""

import numpy as np

from report import at_most, equal
from sheet_page import ROUND, farthest

PATHS = "pdfminer paths, svgelements"
STATED = "pdfminer paths; manifest.json, checks"

FITTING = ("cover-in-rout", "ears-in-recesses")
SAME_SIZE = 0.01  # mm
# The template's rout is a rectangle, as long and wide as the rout is where it is tightest. The check holds the cover
# against sides that taper and are out of square, by hundredths in the families that are drawn here.
FORM = 0.02  # mm
SOME = 200  # points at a time; all at once against all chords would not fit the memory


def play_checks(name, page, cover, position, manifest):
    rout = dashed_rout(page)
    inner, outer = cover.box, rout.box
    sides = (inner[0] - outer[0], outer[2] - inner[2], inner[1] - outer[1], outer[3] - inner[3])
    fitting = [one for one in manifest["checks"] if one["position"] == position and one["name"] in FITTING]
    figures = {f["label"]: f["value_mm"] for one in fitting for f in one["figures"]}
    least = least_play(cover.points, rout.points)
    margin = min(one["margin_mm"] for one in fitting)
    checks = [
        equal(name, "rout all round the cover", bool(min(sides) > 0 and least > 0), True, PATHS),
        at_most(name, "least play all round, mm off check's", off_check(least, margin, figures), FORM, STATED),
    ]
    # Of one whose ends are slanted the box is that of its sharp corners: it says nothing of the ends.
    if "rout length" in figures:
        ends, along = stated_play(figures)
        off = farthest(sides, (ends, ends, along, along))
        checks.append(at_most(name, "play at the four sides, mm off", off, SAME_SIZE, STATED))
    return checks


def off_check(least, margin, figures):
    """Ears at long sides have recesses off the middle: the check moves the cover to where it lies best in them."""
    moved = "recess length" in figures and "ear to ear" not in figures
    return max(least - margin, 0.0) if moved else abs(least - margin)


def dashed_rout(page):
    return max((one for one in page.drawn if one.dashed), key=area)


def area(drawn):
    return drawn.size[0] * drawn.size[1]


def stated_play(figures):
    """At the ends, where ears reach into their recesses if there are any, and at the long sides."""
    if "ear to ear" in figures:
        ends = (figures["rout length"] + 2 * figures["recess length"] - figures["ear to ear"]) / 2
    else:
        # Ears at long sides reach as far out as their recesses, but for the play of the sides.
        ends = (figures["rout length"] - figures["cover length"]) / 2
    return ends, (figures["rout width"] - figures["cover width"]) / 2


def least_play(inner, outer):
    """The least distance from the inner outline to the outer; below zero where it lies outside."""
    start, step = outer[:-1], np.diff(outer, axis=0)
    moves = np.linalg.norm(step, axis=1) > ROUND / 10
    some = np.array_split(inner, len(inner) // SOME + 1)
    return min(least_of(points, start[moves], step[moves]) for points in some)


def least_of(points, start, step):
    away = points[:, None] - start
    along = np.clip((away * step).sum(axis=2) / (step**2).sum(axis=1), 0, 1)
    apart = np.linalg.norm(away - along[:, :, None] * step, axis=2).min(axis=1)
    return float(np.where(enclosed(points, start, step), apart, -apart).min())


def enclosed(points, start, step):
    """A ray to the right crosses the outline an odd number of times."""
    y, end = points[:, None, 1], start[:, 1] + step[:, 1]
    crosses = (start[:, 1] > y) != (end > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        x = start[:, 0] + (y - start[:, 1]) * step[:, 0] / step[:, 1]
    return (crosses & (points[:, None, 0] < x)).sum(axis=1) % 2 == 1
