"""What a simulated print may be off by.

Flat walls are exact but for 32 bits: two borders, each rounded where it lies and shifted by a figure
that was rounded with the least corner. What has no direction of its own (walls, gaps, radii, holes:
a reading's `free`) is drawn by the mean of both stretches and comes out by either: it is off by its
share of half their difference, and with it the growth that is made up for on its borders (two for a
wall, four for a hollow). Outlines besides by the chord tolerance of both meshes. In the first
layer the foot too is drawn by the mean; and a hole that is drawn wider by the foot loses less of its
diameter than it does above, by what the profile's `hole_near` says of the one and the other.

Where an arc ends at a sharp corner (a bite's ends), the last chord and not the arc is moved by the
simulated printer: chord and arc there differ in direction by sqrt(2 chord / radius), and the corner
goes astray by that of what walls are moved by. A slot's sharp inner corner is drawn round by the foot
in the first layer; where walls shrink on top (growth below zero) that much of the round is left.
"""

from math import sqrt

from laid import FINE
from lying import rounding

NAME_STEP = 0.5e-3  # mm; names of drawn sizes are in whole micrometres


class Allowances:
    def __init__(self, laid, part, chord):
        self.printer = printer = laid.printer
        self.flat = 4 * rounding(laid.lies)
        self.askew = abs(printer.x - printer.y) / 2 / printer.mean
        self.foot = 2 * abs(printer.foot) * self.askew
        self.growth = 4 * abs(printer.growth) * self.askew
        d = part["dimensions"]
        sharp = [sqrt(2 * chord / one["radius"]) for one in bites(d)]
        self.corner = max(sharp, default=0.0)
        self.plain = chord + FINE + self.flat + self.growth + self.askew * reach(d)
        self.outline = self.plain + abs(printer.growth) * self.corner

    def reading(self, one):
        return self.flat + (self.growth + self.askew * one.free if one.free else 0.0)

    def named(self, one):
        """What is drawn is larger than what comes out where the material shrinks."""
        return NAME_STEP + self.reading(one) / min(self.printer.x, self.printer.y)

    def in_first_layer(self, one):
        return self.reading(one) + self.foot + (self.less_lost(one.wanted) if one.is_hole else 0.0)

    def less_lost(self, wanted):
        """By a hole that is drawn wider by the foot."""
        drawn = self.printer.drawn_hole(wanted)
        wide = drawn + 2 * self.printer.foot / self.printer.mean
        return abs(self.printer.loss(drawn) - self.printer.loss(wide))

    def outline_at_bed(self, least_hole):
        moved = abs(self.printer.growth + self.printer.foot) * self.corner
        left_round = (sqrt(2) - 1) * max(-self.printer.growth, 0.0)
        return self.plain + moved + left_round + self.foot + self.less_lost(least_hole) / 2

    def rounded(self, radius):
        """On the rounded edge, half way up it, where it leans by 30 degrees from upright: its radius is
        drawn by the mean and its height comes out by z, lifted."""
        rise = abs(self.printer.z / self.printer.mean - 1) * radius + abs(self.printer.lift)
        return self.outline + rise


def bites(d):
    return [*d.get("waists", []), *([d["mark"]] if d.get("mark") else [])]


def reach(d):
    """How far sizes without direction carry a border from where one with a direction ends: walls one
    behind the other, a fillet that stands off what it joins, and the largest radius."""
    lip, mounting = d.get("lip") or {}, d.get("mounting") or {}
    walls = d.get("wall", 0.0) + sum(lip.get(word, 0.0) for word in ("cover_wall", "gap", "wall"))
    corners = d["corner_radius"]
    radii = [*(corners if isinstance(corners, list) else [corners]), mounting.get("ear_corner_radius", 0.0)]
    radii += [mounting.get(word, 0.0) / 2 for word in ("boss_diameter", "recess_diameter")]
    return walls + mounting.get("blend", 0.0) + max(radii + [one["radius"] for one in bites(d)])
