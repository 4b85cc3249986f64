"""Writes crates/coil/tests/layers.tsv: what a wire has to the wires of the next layer, by finite differences in scipy. Run by
hand when the table is to change.

Round wires in their films lie staggered, as far apart as a packing says, all of a layer at one voltage and each layer at one
more than that below. A cell that repeats along and across the layers is solved for its potential; twice the energy in a layer is
the capacitance of one wire to the next layer.
"""

import sys

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve

SPACE = 8.854_187_8e-12
FILM = 3.5
FINE = 160


def capacitance(bare, overall, packing, filled, fine=FINE):
    """F/m. Lengths in any unit."""
    pitch = overall * np.sqrt(0.906_900 / packing)
    # Two layers: the cell is a pitch wide and sqrt(3) high.
    wide, high = fine, round(fine * np.sqrt(3) / 2) * 2
    step = pitch / wide
    y, x = np.mgrid[0:high, 0:wide]
    x, y = (x + 0.5) * step, (y + 0.5) * pitch * np.sqrt(3) / high
    kind = np.full((high, wide), -1)
    permittivity = np.full((high, wide), filled)
    for level in range(-1, 4):
        for k in range(-1, 3):
            away = np.hypot(x - (k + 0.5 * (level % 2)) * pitch, y - level * pitch * np.sqrt(3) / 2)
            permittivity[away < overall / 2] = FILM
            kind[away < bare / 2] = level + 1
    free = kind < 0
    number = np.full((high, wide), -1)
    number[free] = np.arange(free.sum())
    rows, columns, values, right = [], [], [], np.zeros(free.sum())
    fixed = np.where(free, 0.0, kind - 1.0)
    links = []
    for dy, dx in ((0, 1), (1, 0)):
        other = np.roll(np.roll(np.arange(high * wide).reshape(high, wide), -dy, axis=0), -dx, axis=1)
        # A cell higher everything is at two more.
        jump = np.zeros((high, wide))
        if dy:
            jump[-1] = 2.0
        e, f = permittivity.ravel(), permittivity.ravel()[other.ravel()]
        long, across = (step, pitch * np.sqrt(3) / high) if dx else (pitch * np.sqrt(3) / high, step)
        # Half of the way through each of the two; a conductor's own half is none.
        half = np.where(free.ravel(), 0.5 / e, 0.0) + np.where(free.ravel()[other.ravel()], 0.5 / f, 0.0)
        conducts = np.where(half > 0, across / long / np.maximum(half, 1e-12), 0.0)
        links.append((np.arange(high * wide), other.ravel(), jump.ravel(), conducts))
    number, fixed = number.ravel(), fixed.ravel()
    for here, there, jump, conducts in links:
        a, b = number[here], number[there]
        for i, j, known, add in ((a, b, fixed[there], jump), (b, a, fixed[here], -jump)):
            is_free = i >= 0
            rows.append(i[is_free])
            columns.append(i[is_free])
            values.append(conducts[is_free])
            both = is_free & (j >= 0)
            rows.append(i[both])
            columns.append(j[both])
            values.append(-conducts[both])
            np.add.at(right, i[is_free], conducts[is_free] * (np.where(j < 0, known, 0.0) + add)[is_free])
    matrix = coo_matrix((np.concatenate(values), (np.concatenate(rows), np.concatenate(columns)))).tocsr()
    volts = fixed.copy()
    volts[number >= 0] = spsolve(matrix, right)
    energy = sum((conducts * (volts[there] + jump - volts[here]) ** 2).sum() for here, there, jump, conducts in links)
    return SPACE * energy / 2


def main():
    for bare, overall in ((0.0633, 0.0711), (0.0564, 0.0635), (0.0502, 0.0572), (0.0633, 0.0762), (0.0400, 0.0470)):
        for packing in (0.9069, 0.80, 0.70, 0.60, 0.50):
            for filled in (1.0, 2.3):
                found = capacitance(bare, overall, packing, filled)
                print(bare, overall, packing, filled, f"{found:.5e}", sep="\t", flush=True)
    # And coils as they may come out: of any wire, packed as a hand may, with as much wax between as got in.
    random = np.random.default_rng(245)
    for _ in range(200):
        bare = round(random.uniform(0.040, 0.080), 4)
        overall = round(bare + random.uniform(0.005, 0.013), 4)
        packing, filled = round(random.uniform(0.5, 0.75), 3), round(random.uniform(1.0, 2.3), 2)
        found = capacitance(bare, overall, packing, filled, 100)
        print(bare, overall, packing, filled, f"{found:.5e}", sep="\t", flush=True)


if __name__ == "__main__":
    sys.exit(main())
