"""What is read on each part, where, and what it must be by the manifest's `dimensions`."""

from dataclasses import dataclass
from math import hypot

from calipers import across, apart, astray, between, diameter, extent, thickness

BESIDE = 0.5  # mm; how far a reading keeps from what is not to be read


@dataclass
class Reading:
    # As in the manifest's list of drawn sizes where it is there, else for people.
    word: str
    # Height over the part's underside at which it is taken.
    height: float
    wanted: float
    # How much of it has no direction of its own, so that the program goes by the mean of both stretches.
    free: float
    # Reads it off a section.
    take: object
    is_hole: bool = False


def readings(part):
    return {"cover": cover, "baseplate": baseplate}.get(part["part"], flatwork)(part["dimensions"])


def cover(d):
    ceiling, mounting = d["height"] - d["roof"], d["mounting"]
    low = max(d["lead_out"]["height"], mounting.get("ear_thickness", 0.0))
    middle, roof = (low + ceiling) / 2, (ceiling + d["height"]) / 2
    found = outside(d, middle) + hollow(d, middle)
    found += holes("pole_hole", d["pole_holes"], d["pole_hole"], roof)
    if mounting["kind"] == "ears":
        level = mounting["ear_thickness"] / 2
        return found + ears(d, level) + holes("screw_hole", screws(d), d["screw_hole"], level)
    recess = d["height"] - mounting["recess_depth"] / 2
    found += holes("recess", screws(d), mounting["recess_diameter"], recess)
    return found + holes("screw_hole", screws(d), d["screw_hole"], middle)


def baseplate(d):
    level = d["thickness"] / 2
    found = ears(d, level) if d["mounting"]["kind"] == "ears" else outside(d, level)
    found += holes("screw_hole", screws(d), d["screw_hole"], level)
    return found + (lip(d, d["thickness"] + d["lip"]["height"] / 2) if d["lip"] else [])


def flatwork(d):
    level = d["thickness"] / 2
    found = outside(d, level) + holes("pole_hole", d["pole_holes"], d["pole_hole"], level)
    return found + holes("eyelet_hole", d.get("eyelet_holes", []), d.get("eyelet_hole"), level)


def outside(d, height):
    return [
        Reading("length", height, d["length"], 0.0, extent(0)),
        Reading("width", height, d["width"], 0.0, extent(1)),
    ]


def ears(d, height):
    """Tip to tip, and across an ear between its corners and the fillet where it meets the body."""
    ear = d["mounting"]
    tip = d["length"] / 2 + ear["ear_length"]
    at = (d["length"] / 2 + ear["blend"] + tip - ear["ear_corner_radius"]) / 2
    return [
        Reading("ear_to_ear", height, 2 * tip, 0.0, extent(0)),
        Reading("ear_width", height, ear["ear_width"], 0.0, across(1, at)),
        Reading("width", height, d["width"], 0.0, extent(1)),
    ]


def hollow(d, height):
    """Inside and walls, off the middle line, where the bosses stand."""
    along, over, wall = d["width"] / 4, 0.0, d["wall"]
    return [
        Reading("hollow_length", height, d["length"] - 2 * wall, 2 * wall, between(0, along)),
        Reading("hollow_width", height, d["width"] - 2 * wall, 2 * wall, between(1, over)),
        *walls("wall", height, wall, along, over),
    ]


def lip(d, height):
    measures, opening = d["lip"], d.get("lip_opening")
    inset = 2 * (measures["cover_wall"] + measures["gap"])
    along, over = beside(d["width"] / 4, opening, "y"), beside(0.0, opening, "x")
    return [
        Reading("lip_length", height, d["length"] - inset, inset, across(0, along)),
        Reading("lip_width", height, d["width"] - inset, inset, across(1, over)),
        *walls("lip", height, measures["wall"], along, over),
    ]


def walls(what, height, wall, along, over):
    return [
        Reading(f"{what} at the bass end", height, wall, wall, thickness(0, along, 0)),
        Reading(f"{what} at the treble end", height, wall, wall, thickness(0, along, -1)),
        Reading(f"{what} on the bridge side", height, wall, wall, thickness(1, over, 0)),
        Reading(f"{what} on the neck side", height, wall, wall, thickness(1, over, -1)),
    ]


def beside(at, block, axis):
    """The same place, or the next one that is clear of a block of air."""
    if block and block[f"{axis}0"] - BESIDE < at < block[f"{axis}1"] + BESIDE:
        return block[f"{axis}1"] + 2 * BESIDE
    return at


def screws(d):
    return [(x, y) for x, y in d["screws"]]


def holes(word, places, wanted, height):
    """Of every hole diameter and place, and its middle's distance from the next one's. A stretched hole
    is an ellipse, and a circle through unevenly spread corners of it is off its middle by a share of
    its width."""
    found = []
    for place in places:
        found.append(Reading(word, height, wanted, wanted, diameter(place), True))
        found.append(Reading(f"{word} off its place", height, 0.0, wanted, astray(place)))
    for a, b in zip(places, places[1:]):
        away = hypot(a[0] - b[0], a[1] - b[1])
        found.append(Reading(f"{word} to the next", height, away, wanted, apart(a, b)))
    return found
