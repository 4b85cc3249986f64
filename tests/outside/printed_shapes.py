"""Whole outlines and levels of a simulated print against those of the STEP solid."""

from itertools import pairwise
from math import sqrt

import shapely

from laid import levels
from mesh_check import DRAWN_BY
from readings import readings
from report import at_most, equal
from sections import pieces

STEP = "OpenCASCADE BRepMesh; shapely, profile.rs"

DENSE = 0.05  # share of a line at which distances between outlines are taken


def outline_checks(part, laid, allowed):
    """Half way between any two levels the whole outline, not only where calipers reach."""
    name, printer, rounding = part["id"], laid.printer, part["dimensions"].get("rounding", 0.0)
    ends = sorted({*levels(laid.nominal_mesh), laid.over_bed(laid.height - rounding)})
    heights = [(max(low, printer.height(printer.layer)) + high) / 2 for low, high in pairwise(ends)]
    printed = [laid.printed(height) for height in heights]
    nominal = [laid.nominal(height) for height in heights]
    shapes = [shape(one) for one in printed], [shape(one) for one in nominal]
    apart = [farthest(a, b) for a, b in zip(printed, nominal)]
    drawn = [laid.stretched(height) for height in heights]
    moved = [farthest(a, b) for a, b in zip(drawn, nominal)]
    room = allowed.rounded(rounding) if rounding else allowed.outline
    return [
        equal(name, "pieces and holes of printed sections", *shapes, STEP),
        at_most(name, f"{len(apart)} printed outlines off nominal, mm", max(apart), room, STEP),
        at_most(name, "drawn outlines but for the stretch off nominal, mm", max(moved), DRAWN_BY, STEP),
        first_outline(part, laid, allowed),
    ]


def first_outline(part, laid, allowed):
    """A rounded edge on the bed is not drawn in: of its foot only that may reach over the outline by
    which it is larger than the rounding stands back there."""
    printed, nominal = laid.first_printed(), laid.nominal(laid.first)
    rounding = part["dimensions"].get("rounding", 0.0)
    if rounding and laid.is_turned_over:
        outline = laid.nominal(laid.over_bed(laid.height / 2)).bounds
        over = max((a - b) * side for a, b, side in zip(printed.bounds, outline, (-1, -1, 1, 1)))
        room = max(laid.printer.foot - stands_back(rounding, laid.first), 0.0) + allowed.outline
        return at_most(part["id"], "foot of the rounding over the outline, mm", max(over, 0.0), room, STEP)
    apart = farthest(printed, nominal)
    least = min((one.wanted for one in readings(part) if one.is_hole), default=1.0)
    room = allowed.outline_at_bed(least)
    return at_most(part["id"], "printed outline at the bed off nominal, mm", apart, room, STEP)


def stands_back(radius, height):
    """How far a rounded edge is from the outline, so high over the plane that it runs out in."""
    return radius - sqrt(radius**2 - max(radius - height, 0.0) ** 2)


def farthest(first, second):
    return shapely.hausdorff_distance(first.boundary, second.boundary, densify=DENSE)


def shape(area):
    return sorted(len(one.interiors) for one in pieces(area))


def is_drawn_in(part, laid):
    """At the bed: everything but a rounded edge, unless holes begin there."""
    holes = any(one.interiors for one in pieces(laid.nominal(laid.first)))
    rounded = part["dimensions"].get("rounding") and laid.is_turned_over
    return bool(laid.printer.foot) and (holes or not rounded)


def level_checks(part, laid, allowed):
    """Every level over the bed comes out at its height; none is there that the part does not have,
    but the step over the first layer."""
    name, printer = part["id"], laid.printer
    wanted = levels(laid.nominal_mesh)
    drawn = levels(laid.drawn_mesh)
    kept = [z for z in drawn if abs(z - printer.layer) > allowed.flat]
    got = [printer.height(z) if z > 0 else z for z in kept]
    off = max((abs(a - b) for a, b in zip(got, wanted)), default=0.0)
    return [
        equal(name, "levels", len(got), len(wanted), STEP),
        equal(name, "steps over the first layer", len(drawn) - len(kept), int(is_drawn_in(part, laid)), STEP),
        at_most(name, "printed levels, mm off nominal", off, allowed.flat, STEP),
    ]
