"""A printer's coupon: the package, and its sizes on level sections of the STL.

It is drawn at its nominal sizes, so what is read must be them: along flat walls but for 32 bits, on
round ones too, because their corners lie on the circle. Holes, layer and bed stand in printer.ron.
"""

import re

import numpy as np

from calipers import across, crossed, extent
from laid import levels
from lying import loaded, rounding
from plate_check import LIB3MF, TRIMESH, ZIP, item_checks, model_checks, package_checks, scene_checks
from plate_file import read_plate
from report import at_most, broken, equal
from sections import circle, is_round, pieces, round_holes, section

SECTIONS = "trimesh sections; shapely"
LONG, SHORT, ARM, WINDOW = 90.0, 60.0, 16.0, 8.0
WINDOW_AT = 24.0  # its middle from the corner, along the shorter arm
POSTS = [6.0, 10.0]
HEIGHTS = [3.0, 9.0, 15.0]  # before they are made whole layers
CLEAR = 1.5  # mm; from an arm's end, where it holds nothing


def check_coupon(printer, folder):
    name = folder.name
    package, stl = folder / f"{name}.3mf", folder / f"{name}.stl"
    try:
        words, mesh = read_words((printer / "printer.ron").read_text(encoding="utf-8")), loaded(stl)
    except Exception as error:
        return [broken(name, "coupon read", error, TRIMESH)]
    checks = []
    steps = [
        ("package", ZIP, lambda: package_checks(name, package)),
        ("plate", LIB3MF, lambda: plate_checks(name, package, words["bed"], mesh)),
        ("plate as a scene", TRIMESH, lambda: scene_checks(name, package, {name: mesh})),
        ("sizes", SECTIONS, lambda: size_checks(name, words, mesh)),
    ]
    for what, source, step in steps:
        try:
            checks += step()
        except Exception as error:
            checks.append(broken(name, what, error, source))
    return checks


def read_words(text):
    """Of printer.ron: bed, layer and the coupon's holes, mm."""
    plain = re.sub(r"//.*", "", text)
    number = r"[\d.]+"
    lists = {word: re.search(word + r":\s*mm\(\[([^\]]*)\]\)", plain) for word in ("bed", "holes")}
    found = {word: [float(one) for one in re.findall(number, hit[1])] for word, hit in lists.items()}
    return found | {"layer": float(re.search(r"layer:\s*mm\((" + number + r")\)", plain)[1])}


def plate_checks(name, package, bed, mesh):
    read = read_plate(package)
    checks = model_checks(name, read, [name])
    for one in read.items:
        checks += item_checks(name, one, bed, mesh)
    return checks


def size_checks(name, words, mesh):
    layer, room = words["layer"], 4 * rounding(mesh)
    plate, step, tower = (max(round(height / layer), 1) * layer for height in HEIGHTS)
    flat, above = section(mesh, plate / 2), section(mesh, (plate + step) / 2)
    holes = sorted(one.diameter for one in round_holes(flat))
    posts = sorted(circle(one.exterior).diameter for one in pieces(above) if is_round(one.exterior))
    return [
        same(name, "outer lengths", [extent(0)(flat), extent(1)(flat)], [LONG, SHORT], room),
        same(name, "widths of the arms", arms(flat), [ARM, ARM], room),
        same(name, "window", window(flat), [WINDOW, WINDOW], room),
        same(name, "holes", holes, sorted(words["holes"]), room),
        same(name, "posts", posts, POSTS, room),
        same(name, "levels", levels(mesh).tolist(), [0.0, plate, step, tower], room),
        equal(name, "holes in the plate", len(pieces(flat)[0].interiors), len(words["holes"]) + 1, SECTIONS),
        equal(name, "watertight", mesh.is_watertight, True, TRIMESH),
    ]


def arms(flat):
    """The shorter one along x, the longer one along y, near their ends."""
    return [across(0, SHORT - CLEAR)(flat), across(1, LONG - CLEAR)(flat)]


def window(flat):
    along = crossed(flat, 0, WINDOW_AT)
    over = crossed(flat, 1, ARM / 2)
    return [along[1][0] - along[0][1], over[1][0] - over[0][1]]


def same(name, what, got, wanted, room):
    if len(got) != len(wanted):
        return equal(name, f"{what}, how many", len(got), len(wanted), SECTIONS)
    off = float(np.abs(np.array(got) - wanted).max())
    return at_most(name, f"{what}, mm off", off, room, SECTIONS)
