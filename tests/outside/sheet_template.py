"""A template page against the parts that `build` made: the check bar, the outlines and their holes."""

from math import hypot, inf

import numpy as np

from report import at_most, equal
from sheet_page import farthest
from sheet_pdf import DPI, rendered
from sheet_play import area, dashed_rout, play_checks

PATHS = "pdfminer paths, svgelements"
PAINTED = "PDFium rendering"
BUILT = "pdfminer paths; manifest.json"
SETTING = "pdfminer's Core 14 metrics"

TITLE = "Template 1:1: "
BOXES, BOX = 10, 10.0  # of the check bar, mm
SAME_BAR = 0.005  # mm
SAME_SIZE = 0.01  # mm, a tenth of what a sharp pencil draws
SAME_MIDDLE = 0.05  # mm
PIXEL = 25.4 / DPI


def template_checks(name, path, page, manifest):
    position = next(run.text for run in page.runs if TITLE in run.text).removeprefix(TITLE)
    parts = {part["part"]: part for part in manifest["parts"] if part["position"] == position}
    checks = bar_checks(name, path, page)
    # The cover's outline comes first where the baseplate has the same one.
    outlines = sorted(cut_lines(page), key=lambda one: -one.box[3])
    plates = ["cover", "baseplate"][: len(outlines)]
    checks.append(equal(name, "outlines drawn", len(outlines) in (1, 2), True, PATHS))
    for kind, outline in zip(plates, outlines):
        checks += plate_checks(name, page, outline, parts[kind], parts["flatwork-top"])
    return checks + play_checks(name, page, outlines[0], position, manifest)


def cut_lines(page):
    """Undashed closed outlines as large as the largest one."""
    drawn = [one for one in page.drawn if one.closed and one.pen and not one.dashed and one.fill is None]
    largest = max(area(one) for one in drawn)
    return [one for one in drawn if area(one) > 0.9 * largest]


def bar_checks(name, path, page):
    boxes = bar(page)
    widths = [abs(one.size[0] - BOX) for one in boxes]
    gaps = [abs(b.box[0] - a.box[2]) for a, b in zip(boxes, boxes[1:])]
    whole = boxes[-1].box[2] - boxes[0].box[0]
    painted = painted_off(path, page, boxes)
    return [
        equal(name, "boxes of the bar", len(boxes), BOXES, PATHS),
        at_most(name, "a box of the bar, mm off 10", max(widths), SAME_BAR, PATHS),
        at_most(name, "between boxes of the bar, mm", max(gaps), SAME_BAR, PATHS),
        at_most(name, "bar, mm off 100", abs(whole - BOXES * BOX), SAME_BAR, PATHS),
        at_most(name, f"bar as painted at {DPI} dpi, mm off 100", painted, PIXEL, PAINTED),
    ]


def bar(page):
    """The longest row of rectangles that stand at one height, from left to right."""
    rows = {}
    for one in page.drawn:
        if one.is_rectangle and not one.dashed:
            rows.setdefault((round(one.box[1], 2), round(one.box[3], 2)), []).append(one)
    return sorted(max(rows.values(), key=len), key=lambda one: one.box[0])


def painted_off(path, page, boxes):
    """From end to end along the line of pixels through the bar's middle, less what the pens add there.
    An end that falls inside a pixel leaves it grey by as much as it covers."""
    grey = rendered(path, page.number)
    row = grey[int((page.size[1] - boxes[0].middle[1]) / PIXEL)].astype(float)
    first, last = (round(x / PIXEL) for x in (boxes[0].box[0] - 1, boxes[-1].box[2] + 1))
    ink = 1 - (row[first:last] - row.min()) / (row.max() - row.min())
    inked = np.flatnonzero(ink > 0.02)
    pixels = inked[-1] - inked[0] - 1 + ink[inked[0]] + ink[inked[-1]]
    pens = (boxes[0].pen + boxes[-1].pen) / 2
    return abs(pixels * PIXEL - pens - BOXES * BOX)


def plate_checks(name, page, outline, part, top):
    kind, low, high = part["part"], part["bounds_mm"]["min"], part["bounds_mm"]["max"]
    size = farthest(outline.size, (high[0] - low[0], high[1] - low[1]))
    # Where the part's own origin is on the paper: the middle of the rout.
    at = (outline.middle[0] - (low[0] + high[0]) / 2, outline.middle[1] - (low[1] + high[1]) / 2)
    circles = [one for one in page.drawn if one.is_circle and inside(one.middle, outline.box)]
    screws, poles = screw_holes(part), pole_holes(part, top) if kind == "cover" else []
    checks = [at_most(name, f"{kind}'s outline, mm off the part", size, SAME_SIZE, BUILT)]
    checks += hole_checks(name, f"{kind}'s screw holes", circles, screws, at)
    checks.append(pitch_check(name, kind, circles, part, at))
    if poles:
        checks += hole_checks(name, f"{kind}'s pole holes", circles, poles, at)
    return checks + [
        equal(name, f"{kind}'s holes drawn", len(circles), len(screws) + len(poles), BUILT),
        lead_check(name, page, outline, part, at),
        label_check(name, page, outline, kind),
    ]


def inside(point, box):
    return box[0] < point[0] < box[2] and box[1] < point[1] < box[3]


def screw_holes(part):
    d = part["dimensions"]
    return [(x, y, d["screw_hole"]) for x, y in d["screws"]]


def pole_holes(cover, top):
    """Those in the cover's roof; under a closed roof, those in the plate below it."""
    d = cover["dimensions"] if cover["dimensions"]["pole_holes"] else top["dimensions"]
    return [(x, y, d["pole_hole"]) for x, y in d["pole_holes"]]


def hole_checks(name, what, circles, holes, at):
    pairs = [(hole, nearest(circles, hole, at)) for hole in holes]
    places = max(off(circle, hole, at) for hole, circle in pairs)
    sizes = max(abs(circle.size[0] - hole[2]) for hole, circle in pairs)
    return [
        at_most(name, f"places of {what}, mm off", places, SAME_SIZE, BUILT),
        at_most(name, f"diameters of {what}, mm off", sizes, SAME_SIZE, BUILT),
    ]


def nearest(circles, hole, at):
    return min(circles, key=lambda circle: off(circle, hole, at))


def off(circle, hole, at):
    return hypot(circle.middle[0] - at[0] - hole[0], circle.middle[1] - at[1] - hole[1])


def pitch_check(name, kind, circles, part, at):
    holes = screw_holes(part)
    drawn = [nearest(circles, hole, at).middle for hole in holes]
    between = [(a, b) for a in range(len(holes)) for b in range(a)]
    long = lambda ends, a, b: hypot(ends[a][0] - ends[b][0], ends[a][1] - ends[b][1])
    apart = max((abs(long(drawn, a, b) - long(holes, a, b)) for a, b in between), default=0.0)
    return at_most(name, f"{kind}'s screw pitch, mm off", apart, SAME_SIZE, BUILT)


def lead_check(name, page, outline, part, at):
    """The notch for the lead: a dashed rectangle that reaches beyond the outline."""
    asked, rout = part["dimensions"]["lead_out"], dashed_rout(page)
    dashed = [one for one in page.drawn if one.dashed and one.is_rectangle and one is not rout]
    found = [one for one in dashed if inside(one.middle, grown(outline))]
    if not asked or len(found) != 1:
        return equal(name, f"{part['part']}'s lead-outs drawn", len(found), 1 if asked else 0, BUILT)
    sides = [side - at[i % 2] for i, side in enumerate(found[0].box)]
    wanted = [asked[side] for side in ("x0", "y0", "x1", "y1")]
    return at_most(name, f"{part['part']}'s lead-out, mm off", farthest(sides, wanted), SAME_SIZE, BUILT)


def grown(outline):
    x0, y0, x1, y1 = outline.box
    return x0 - 1, y0 - 1, x1 + 1, y1 + 1


def label_check(name, page, outline, kind):
    """The part's name tells that letters are as wide as the program believes."""
    labels = [run for run in page.runs if f"{kind}," in run.text and inside(run.middle, outline.box)]
    away = max((abs(run.middle[0] - outline.middle[0]) for run in labels), default=inf)
    return at_most(name, f"{kind}'s name, mm off the middle", away, SAME_MIDDLE, SETTING)
