"""Writes crates/coil/tests/rod_alone.tsv: what one rod adds to the inductance of a round coil, by the charges on its surface.

Inside a rod of one susceptibility nothing diverges, so that it acts by charges on its surface alone; what they are is an
integral equation, solved here for rings by scipy's elliptic integrals, the finer towards the rod's edges; the coil's field is
magpylib's. Two sizes of rings tell what infinitely fine ones would. Run by hand when the table is to change: python rod_alone.py > rod_alone.tsv
"""

import sys

import magpylib
import numpy as np
from scipy.special import ellipe, ellipkm1

GAUSS = np.polynomial.legendre.leggauss(8)
MU_0 = 4e-7 * np.pi


def nodes(low, high):
    return low + (high - low) * (GAUSS[0] + 1) / 2, GAUSS[1] * (high - low) / 2


def ring_of_charge(a, h, r, z):
    """Field away from the axis and along it, of one unit on a ring of radius a at height h."""
    up = z - h
    far, near = (r + a) ** 2 + up**2, (r - a) ** 2 + up**2
    first, second = ellipkm1(np.maximum(near / far, 1e-300)), ellipe(1 - near / far)
    along = up * second / (near * np.sqrt(far)) / (2 * np.pi**2)
    away = ((r * r - a * a - up * up) * second / near + first) / (4 * np.pi**2 * np.sqrt(far) * np.maximum(r, 1e-12))
    return np.where(r > 1e-12, away, 0.0), along


def rings(radius, length, many):
    """Kind (side, top, bottom) and both borders of each, ever narrower towards the edges."""
    steps = np.linspace(0, 1, many // 2 + 1) ** 3
    side = np.concatenate([steps * length / 2, (length - steps[::-1] * length / 2)[1:]])
    end = radius * (1 - np.linspace(0, 1, many // 2 + 1)[::-1] ** 3)
    found = [("side", a, b) for a, b in zip(side[:-1], side[1:])]
    return found + [(kind, a, b) for kind in ("top", "bottom") for a, b in zip(end[:-1], end[1:])]


def of_panel(kind, radius, length, low, high, r, z):
    """Field of a panel with one unit for each area, at places."""
    middle = (low + high) / 2
    own = (radius, middle) if kind == "side" else (middle, length if kind == "top" else 0.0)

    def summed(x, weight, r, z):
        a = np.full_like(x, radius) if kind == "side" else x
        h = x if kind == "side" else np.full_like(x, own[1])
        away, along = ring_of_charge(a[None], h[None], r[:, None], z[:, None])
        return (away * 2 * np.pi * a * weight).sum(1), (along * 2 * np.pi * a * weight).sum(1)

    away, along = summed(*nodes(low, high), r, z)
    near = np.hypot(r - own[0], z - own[1]) < 4 * (high - low)
    # Ever finer towards the middle, where the field of the panel itself is looked for.
    halves = np.concatenate([[0.0], 2.0 ** -np.arange(20, -1, -1)]) * (high - low) / 2
    borders = np.concatenate([middle - halves[:0:-1], middle + halves])
    pieces = [nodes(a, b) for a, b in zip(borders[:-1], borders[1:])]
    fine = [np.concatenate(part) for part in zip(*pieces)]
    away[near], along[near] = summed(*fine, r[near], z[near])
    return away, along


def adds_by(radius, length, chi, coil, many):
    panels = rings(radius, length, many)
    kinds = np.array([kind for kind, _, _ in panels])
    middles = np.array([(low + high) / 2 for _, low, high in panels])
    side = kinds == "side"
    r, z = np.where(side, radius, middles), np.where(side, middles, np.where(kinds == "top", length, 0.0))
    upwards = (kinds == "top") * 1.0 - (kinds == "bottom") * 1.0
    seen = np.zeros((len(panels), len(panels)))
    for j, (kind, low, high) in enumerate(panels):
        away, along = of_panel(kind, radius, length, low, high, r, z)
        seen[:, j] = np.where(side, away, along * upwards)
        if kind != "side":
            # A flat disc's charges send nothing through itself but what springs at each.
            seen[kinds == kind, j] = 0.0
    areas = np.array([2 * np.pi * radius * (b - a) if k == "side" else np.pi * (b * b - a * a) for k, a, b in panels])
    away, along = coil(r, z)
    through = np.where(side, away, along * upwards)
    charges = np.linalg.solve(np.eye(len(panels)) * (1 + chi / 2) - chi * seen, chi * through)
    return -(potential(coil, radius, r, z) * charges * areas).sum() * MU_0 / 1000


def adds(radius, length, chi, coil, many=70):
    """H for one turn, all lengths in mm; to 1e-3."""
    few, more = (adds_by(radius, length, chi, coil, n) for n in (many, 2 * many))
    return more + (more - few) / 3


def potential(coil, radius, r, z):
    """Of the coil's field, up the side and then along the ends."""
    t, w = np.polynomial.legendre.leggauss(40)

    def at(r, z):
        up = z * (t + 1) / 2
        value = -(coil(np.full_like(t, radius), up)[1] * w).sum() * z / 2
        if r < radius:
            across = radius + (r - radius) * (t + 1) / 2
            value -= (coil(across, np.full_like(t, z))[0] * w).sum() * (r - radius) / 2
        return value

    return np.array([at(*place) for place in zip(r, z)])


def coil_of(inner, build, low, height):
    """Field of a turn with an ampere, spread over a round coil's section: a cylinder's magnet is a sheet of current round it."""
    sheets = magpylib.Collection()
    for a, weight in zip(*nodes(inner, inner + build)):
        # Per mm: all of the sheets together carry an ampere.
        strength = MU_0 * weight / build / height
        size = (2 * a, height)
        sheets.add(magpylib.magnet.Cylinder(polarization=(0, 0, strength), dimension=size, position=(0, 0, low + height / 2)))

    def field(r, z):
        along = sheets.getB(np.c_[r, np.zeros(len(r)), z]) / MU_0
        return along[:, 0], along[:, 2]

    return field


def main():
    # What the program takes off for what is uneven across was fitted to 60 others, of the seed 242.
    random = np.random.default_rng(243)
    for _ in range(60):
        diameter, length = round(random.uniform(2.5, 6.4), 2), round(random.uniform(12.0, 20.0), 1)
        inner, low = diameter / 2 + round(random.uniform(0.05, 0.3), 2), round(random.uniform(2.0, 3.0), 2)
        height, build = round(length - low - random.uniform(1.0, 3.0), 2), round(random.uniform(1.5, 6.0), 2)
        recoil = round(random.uniform(1.05, 7.0), 3)
        found = adds(diameter / 2, length, recoil - 1, coil_of(inner, build, low, height))
        print(diameter, length, f"{inner:.3f}", low, height, build, recoil, f"{found:.6e}", sep="\t", flush=True)


if __name__ == "__main__":
    sys.exit(main())
