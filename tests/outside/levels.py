"""Writes crates/coil/tests/levels.tsv: how loud strings come out beside each other over random rows of rods, by magpylib and
magpylib-material-response 0.6 (pip install magpylib magpylib-material-response). Run by hand when the table is to change.

Rods are prisms of an alloy's recoil permeability. Once they are magnetised by their remanence and each other, which is the
field that magnetises a string; once by an ampere in the coil and each other, which is the field by which the coil sees that
(reciprocity). The slope over the height of their product, added up along the string, is a string's voltage.
"""

import sys

import magpylib
import numpy as np
from magpylib_material_response.demag import apply_demag
from rods_add import ALLOYS, racetrack

REMANENCE = {
    "alnico2": 0.75,
    "alnico3": 0.70,
    "alnico4": 0.56,
    "alnico5": 1.25,
    "alnico8": 0.86,
    "ferrite": 0.38,
    "neodymium": 1.20,
}
ALONG = 10


def prisms(diameter, length, places, susceptibility, remanence):
    side, high = diameter * np.sqrt(np.pi) / 2, length / ALONG
    cells = []
    for place in places:
        for k in range(ALONG):
            cell = magpylib.magnet.Cuboid(
                polarization=(0, 0, remanence),
                dimension=np.array([side, side, high]) / 1000,
                position=np.array([place, 0, (k + 0.5) * high]) / 1000,
            )
            cell.susceptibility = susceptibility
            cells.append(cell)
    return cells


def round_again(cells, diameter):
    """The same as cylinders, whose field near a string is not that of prisms."""
    return magpylib.Collection(
        [
            magpylib.magnet.Cylinder(
                polarization=(0, 0, cell.polarization[2]), dimension=(diameter / 1000, cell.dimension[2]), position=cell.position
            )
            for cell in cells
        ]
    )


def decibels(field, seen, x, z):
    """Across and along the string."""
    half = np.geomspace(1e-4, 0.04, 60)
    y = np.concatenate([-half[::-1], [0.0], half])
    step = 2e-5

    def products(height):
        places = np.c_[np.full(len(y), x), y, np.full(len(y), height)]
        product = field.getB(places) * seen.getB(places)
        return np.array([np.trapezoid(p, y) for p in (product[:, 0] + product[:, 2], product[:, 1])])

    return 20 * np.log10(np.abs(products(z + step) - products(z - step)))


def levels(diameter, length, places, chi, remanence, radius, low, height, build, strings):
    span = max(places) - min(places)
    turns = [
        racetrack(span, radius + build * (i + 0.5) / 3, low + height * (k + 0.5) / 8) for i in range(3) for k in range(8)
    ]
    for turn in turns:
        turn.current = 1 / len(turns)
    magnets = prisms(diameter, length, places, chi, remanence)
    apply_demag(magpylib.Collection(*magnets), inplace=True)
    passing = prisms(diameter, length, places, chi, 1e-12)
    apply_demag(magpylib.Collection(*passing, *turns), inplace=True)
    field = round_again(magnets, diameter)
    seen = magpylib.Collection(round_again(passing, diameter), *(turn.copy() for turn in turns))
    found = np.array([decibels(field, seen, x / 1000, (length + over) / 1000) for x, over in strings])
    return found - found.mean(axis=0)


def main():
    random = np.random.default_rng(244)
    for _ in range(200):
        alloy = random.choice(list(ALLOYS))
        least, most = ALLOYS[alloy]
        many = random.integers(4, 8)
        diameter = round(random.uniform(2.5, 6.4), 2)
        length = round(random.uniform(12.0, 20.0), 1)
        spread = round(random.uniform(diameter + 0.8, 9.0), 2) if diameter < 5 and random.random() < 0.4 else 0.0
        pitch = round(random.uniform(max(spread + diameter + 0.6, 9.0), 19.0), 2)
        middles = pitch * (np.arange(many) - (many - 1) / 2)
        places = [m + s for m in middles for s in ([-spread / 2, spread / 2] if spread else [0.0])]
        radius, low = diameter / 2 + round(random.uniform(0.0, 0.3), 2), round(random.uniform(2.0, 3.0), 2)
        height = round(length - low - random.uniform(1.0, 3.0), 2)
        build = round(random.uniform(1.5, 6.0), 2)
        chi = round(random.uniform(least, most), 4) - 1
        # Two strings of them: one in the middle and the outermost, each a little beside its rods.
        over = [round(random.uniform(2.5, 6.0), 2) for _ in range(2)]
        aside = [round(random.uniform(-1.5, 1.5), 2) for _ in range(2)]
        strings = [(middles[many // 2] + aside[0], over[0]), (middles[-1] + aside[1], over[1])]
        found = levels(diameter, length, places, chi, REMANENCE[alloy], radius, low, height, build, strings)
        given = (alloy, diameter, length, many, pitch, spread, round(radius, 3), low, height, build, f"{chi + 1:.4f}")
        apart = found[1] - found[0]
        print(*given, *over, *aside, f"{apart[0]:.4f}", f"{apart[1]:.4f}", sep="\t", flush=True)


if __name__ == "__main__":
    sys.exit(main())
