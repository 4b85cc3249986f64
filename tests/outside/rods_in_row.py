"""Writes crates/coil/tests/rods_in_row.tsv: the field over rows of rods that demagnetise each other, by magpylib and
magpylib-material-response 0.6 (pip install magpylib magpylib-material-response). Run by hand when the table is to change.

Each rod is 14 square prisms of its section's area, of one susceptibility along its axis, an alloy's recoil line.
"""

import sys

import magpylib
import numpy as np
from magpylib_material_response.demag import apply_demag

# Remanence, T, and the least and most recoil permeability that is given for it: MMPA 0100-00 and suppliers.
ALLOYS = {
    "alnico2": (0.75, 5.0, 7.0),
    "alnico3": (0.70, 5.0, 7.0),
    "alnico4": (0.56, 3.5, 4.5),
    "alnico5": (1.25, 3.6, 4.3),
    "alnico8": (0.86, 2.0, 3.6),
    "ferrite": (0.38, 1.05, 1.10),
    "neodymium": (1.20, 1.03, 1.08),
}
DISCS = 14


def field(diameter, length, places, remanence, susceptibility, along, over):
    side, high = diameter * np.sqrt(np.pi) / 2, length / DISCS
    cells = []
    for place in places:
        for k in range(DISCS):
            cell = magpylib.magnet.Cuboid(
                polarization=(0, 0, remanence),
                dimension=np.array([side, side, high]) / 1000,
                position=np.array([place, 0, (k + 0.5) * high - length / 2]) / 1000,
            )
            cell.susceptibility = (0, 0, susceptibility)
            cells.append(cell)
    row = magpylib.Collection(cells)
    apply_demag(row, inplace=True)
    return row.getB(np.array([along, 0, length / 2 + over]) / 1000)[2]


def main():
    random = np.random.default_rng(24)
    for _ in range(200):
        alloy = random.choice(list(ALLOYS))
        remanence, least, most = ALLOYS[alloy]
        strings = random.integers(4, 9)
        diameter = round(random.uniform(2.5, 6.4), 2)
        length = round(diameter * random.uniform(2.5, 6.5), 1)
        spread = round(random.uniform(diameter + 0.8, 9.0), 2) if diameter < 5 and random.random() < 0.4 else 0.0
        pitch = round(random.uniform(max(spread + diameter + 0.6, 9.0), 19.0), 2)
        middles = pitch * (np.arange(strings) - (strings - 1) / 2)
        places = [m + s for m in middles for s in ([-spread / 2, spread / 2] if spread else [0.0])]
        along, over = random.choice(middles), round(random.uniform(2.0, 7.0), 2)
        chi = random.uniform(least, most) - 1
        found = field(diameter, length, places, remanence, chi, along, over)
        print(alloy, diameter, length, strings, pitch, spread, round(along, 4), over, f"{found:.6e}", sep="\t")


if __name__ == "__main__":
    sys.exit(main())
