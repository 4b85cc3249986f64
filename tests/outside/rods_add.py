"""Writes crates/coil/tests/rods_add.tsv: what rows of rods add to the inductance of the coil that they stand in, by magpylib and
magpylib-material-response 0.6 (pip install magpylib magpylib-material-response). Run by hand when the table is to change.

Each rod is cut into square prisms that are magnetised by the coil's field and by each other's, along and across; by
reciprocity what they add is the sum of their moments times the coil's own field.
"""

import sys

import magpylib
import numpy as np
from magpylib_material_response.demag import apply_demag

MU_0 = 4e-7 * np.pi
# Least and most recoil permeability that is given for an alloy: MMPA 0100-00 and suppliers.
ALLOYS = {
    "alnico2": (5.0, 7.0),
    "alnico3": (5.0, 7.0),
    "alnico4": (3.5, 4.5),
    "alnico5": (3.6, 4.3),
    "alnico8": (2.0, 3.6),
    "ferrite": (1.05, 1.10),
    "neodymium": (1.03, 1.08),
}
ALONG = 9


def racetrack(span, radius, height):
    angle = np.linspace(-np.pi / 2, np.pi / 2, 41)
    right = np.c_[span / 2 + radius * np.cos(angle), radius * np.sin(angle)]
    corners = np.concatenate([right, -right, right[:1]])
    return magpylib.current.Polyline(current=1.0, vertices=np.c_[corners, np.full(len(corners), height)] / 1000)


def prisms(diameter, length, places, susceptibility, across, along):
    side, high = diameter * np.sqrt(np.pi) / 2 / across, length / along
    cells = []
    for place in places:
        for i in range(across):
            for j in range(across):
                for k in range(along):
                    middle = [(i + 0.5) * side, (j + 0.5) * side, (k + 0.5) * high]
                    middle = np.array(middle) - [across * side / 2 - place, across * side / 2, 0]
                    cell = magpylib.magnet.Cuboid(
                        polarization=(0, 0, 1e-12),
                        dimension=np.array([side, side, high]) / 1000,
                        position=middle / 1000,
                    )
                    cell.susceptibility = susceptibility
                    cells.append(cell)
    return cells, side * side * high * 1e-9


def adds(diameter, length, places, susceptibility, radius, low, height, build, across, along=ALONG):
    """H for a coil of one turn, spread over its section."""
    span = max(places) - min(places)
    turns = [
        racetrack(span, radius + build * (i + 0.5) / 3, low + height * (k + 0.5) / 6) for i in range(3) for k in range(6)
    ]
    for turn in turns:
        turn.current = 1 / len(turns)
    cells, volume = prisms(diameter, length, places, susceptibility, across, along)
    apply_demag(magpylib.Collection(*cells, *turns), inplace=True)
    own = magpylib.getH(turns, [cell.position for cell in cells], sumup=True)
    return sum(volume * np.dot(cell.polarization, h) for cell, h in zip(cells, own))


def refined(*given):
    """What is left goes with the square of the prisms' size: 2 and 3 across tell what infinitely many would."""
    few, more = adds(*given, 2), adds(*given, 3)
    return more + (more - few) * (1 / 9) / (1 / 4 - 1 / 9)


def main():
    random = np.random.default_rng(241)
    for _ in range(200):
        alloy = random.choice(list(ALLOYS))
        least, most = ALLOYS[alloy]
        strings = random.integers(4, 8)
        diameter = round(random.uniform(2.5, 6.4), 2)
        length = round(random.uniform(12.0, 20.0), 1)
        spread = round(random.uniform(diameter + 0.8, 9.0), 2) if diameter < 5 and random.random() < 0.4 else 0.0
        pitch = round(random.uniform(max(spread + diameter + 0.6, 9.0), 19.0), 2)
        middles = pitch * (np.arange(strings) - (strings - 1) / 2)
        places = [m + s for m in middles for s in ([-spread / 2, spread / 2] if spread else [0.0])]
        radius, low = diameter / 2 + round(random.uniform(0.0, 0.3), 2), round(random.uniform(2.0, 3.0), 2)
        height = round(length - low - random.uniform(1.0, 3.0), 2)
        build = round(random.uniform(1.5, 6.0), 2)
        chi = round(random.uniform(least, most), 4) - 1
        found = refined(diameter, length, places, chi, radius, low, height, build)
        given = (alloy, diameter, length, strings, pitch, spread, round(radius, 3), low, height, build)
        print(*given, f"{chi + 1:.4f}", f"{found:.6e}", sep="\t", flush=True)


if __name__ == "__main__":
    sys.exit(main())
