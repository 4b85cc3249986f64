"""Coils and fields by scipy and magpylib: --coils WIND, what `wind --json` says of a family.

Resistance: ASTM B258's formula and IEC 60028's copper. Inductance: Neumann's sum of racetracks cut into chords,
the coil's section in other cells than the program's. Rods: Maxwell's closed form of the demagnetising factor,
as Chen, Brug and Goldfarb (1991) state it; field by magpylib's cylinders. Levels: the model that the program
names, added up along the string by the trapezium rule. Response: complex impedances.
"""

import json
from math import pi, sqrt

import magpylib
import numpy as np
from report import at_most, broken, relative
from scipy.optimize import minimize_scalar
from scipy.special import ellipe, ellipk

COPPER = "ASTM B258, IEC 60028"
NEUMANN = "Neumann's double sum, numpy"
CYLINDERS = "magpylib Cylinder"
FACTOR = "Chen, Brug, Goldfarb 1991; scipy ellipk, ellipe"
MODEL = "magpylib, trapezium rule"
CIRCUIT = "complex impedances, scipy minimize_scalar"

MU_0 = 4e-7 * pi
# Remanence, T, coercivity, A/m, and recoil permeability: REFERENCES, MMPA 0100-00 and suppliers.
ALNICO_5 = (1.25, 51e3, 4.0)
RECOILS = (3.6, 4.3)
# What the program claims. This sum changes by 4e-5 with finer cells or chords.
INDUCTANCE = 1e-3
LEVEL = 0.01  # dB
CHORD = 2e-4  # m


def check_coils(answer):
    checks = []
    for coil in json.loads(answer.read_text(encoding="utf-8"))["positions"]:
        try:
            checks += check_coil(coil)
        except Exception as error:
            checks.append(broken(coil.get("name", "?"), "coil", error, NEUMANN))
    return checks


def check_coil(coil):
    name = f"{coil['name']} coil"
    ohms, henries = resistance(coil), inductance(coil)
    found = [
        at_most(name, "resistance off", relative(coil["ohms"]["expected"], ohms), 1e-4, COPPER),
        at_most(name, "inductance off", relative(coil["henries"]["without_rods"], henries), INDUCTANCE, NEUMANN),
    ]
    for stated, most in zip(coil["peaks"], (True, False)):
        hertz, decibels = peak(coil, most)
        found.append(at_most(name, "peak's frequency off", relative(stated["hertz"], hertz), 1e-3, CIRCUIT))
        found.append(at_most(name, "peak's height off, dB", abs(stated["decibels"] - decibels), 1e-3, CIRCUIT))
    return found + rods_checks(name, coil["magnets"])


def resistance(coil):
    area = pi / 4 * coil["copper_mm"] ** 2
    core = coil["core"]
    build = coil["turns"] * pi / 4 * coil["over_film_mm"] ** 2 / (coil["packing"] * core["height_mm"])
    turn = 2 * core["span_mm"] + 2 * pi * (core["radius_mm"] + build / 2)
    return coil["turns"] * turn / 1000 / 58 / area * (1 + 0.00393 * (coil["celsius"] - 20))


def racetrack(span, radius, longest):
    """Middles of its chords and the chords, m; none longer than asked."""
    straight = np.linspace(-span / 2, span / 2, int(span / longest) + 2)
    angle = np.linspace(-pi / 2, pi / 2, int(pi * radius / longest) + 2)
    right = np.c_[span / 2 + radius * np.cos(angle), radius * np.sin(angle)]
    over = np.c_[straight[::-1], np.full(len(straight), radius)]
    corners = np.concatenate([right[:-1], over[:-1], -right[:-1], -over[:-1]])
    chords = np.roll(corners, -1, axis=0) - corners
    return corners + chords / 2, chords


def mutual(span, a, b, apart):
    near = sqrt((a - b) ** 2 + apart**2)
    (p, dp), (q, dq) = (racetrack(span, r, min(near / 3, CHORD)) for r in (a, b))
    sum_of = 0.0
    for rows in np.array_split(np.arange(len(p)), max(1, len(p) // 200)):
        away = np.sqrt(((p[rows, None] - q[None]) ** 2).sum(axis=2) + apart**2)
        sum_of += (dp[rows] @ dq.T / away).sum()
    return 1e-7 * sum_of


def inductance(coil, across=4):
    core, build = coil["core"], coil["build_mm"] / 1000
    span, inner, height = (core[key] / 1000 for key in ("span_mm", "radius_mm", "height_mm"))
    along = round(across * height / build)
    wide, high = build / across, height / along
    radii = inner + wide * (np.arange(across) + 0.5)
    total = 0.0
    for i in range(across):
        for j in range(i, across):
            for k in range(along):
                # A cell from itself, by the geometric mean distance of a rectangle (Rosa and Grover 1912).
                apart = 0.2235 * (wide + high) if i == j and k == 0 else k * high
                weight = (along - k) * (1 if k == 0 else 2) * (1 if i == j else 2)
                total += weight * mutual(span, radii[i], radii[j], apart)
    return total * (coil["turns"] / (across * along)) ** 2


def peak(coil, most):
    load = coil["load"]
    henries = coil["henries"]["most" if most else "least"]
    between = coil["between_turns_farads"][1 if most else 0]

    def level(hertz):
        s = 2j * pi * hertz
        admittance = 1 / load["volume_ohms"] + 1 / load["input_ohms"] + s * (load["cable_farads"] + between)
        if load["tone_ohms"]:
            admittance += 1 / (load["tone_ohms"] + 1 / (s * load["capacitor_farads"]))
        return -20 * np.log10(abs(1 + (coil["ohms"]["expected"] + s * henries) * admittance))

    scan = np.geomspace(500, 50_000, 2000)
    best = scan[np.argmax([level(f) for f in scan])]
    found = minimize_scalar(lambda f: -level(f), bounds=(best / 1.01, best * 1.01), method="bounded")
    return found.x, level(found.x) - level(100.0)


def demagnetising_factor(diameter, length):
    k = diameter / sqrt(diameter**2 + length**2)
    other = 1 - k * k
    first, second = ellipk(k * k), ellipe(k * k)
    return 1 - 4 / (3 * pi * sqrt(other)) * (other / k**2 * (first - second) + second - k)


def in_row(size, along):
    """Each rod's demagnetising factor: its own poles, and its neighbours' mean field along its axis."""
    one = magpylib.magnet.Cylinder(polarization=(0, 0, 1), dimension=[s / 1000 for s in size])
    z = np.linspace(-size[1] / 2, size[1] / 2, 401) / 1000
    own = demagnetising_factor(*size)

    def of_neighbour(away):
        field = one.getB(np.c_[np.full(len(z), away / 1000), np.zeros(len(z)), z])[:, 2]
        return -np.trapezoid(field, z) / (z[-1] - z[0])

    return np.array([own + sum(of_neighbour(abs(x - y)) for y in along if y != x) for x in along])


def rods_checks(name, magnets):
    size = (magnets["rod_diameter_mm"], magnets["rod_length_mm"])
    remanence, coercivity, _ = {"alnico5": ALNICO_5}[magnets["alloy"]]
    factors = in_row(size, [rod["along_mm"] for rod in magnets["rods"]])
    stated = magnets["polarisation_tesla"]
    held = np.minimum(remanence / (1 + factors * (RECOILS[1] - 1)), MU_0 * coercivity / factors)
    least = 0.9 * np.mean(held * (1 - 0.1 * np.minimum(1, (1 - held / remanence) / 0.1)))
    most = 1.1 * np.mean(remanence / (1 + factors * (RECOILS[0] - 1)))
    strength = (least + most) / 2
    top = magnets["rods"][0]["top_mm"]
    rods = magpylib.Collection(
        [
            magpylib.magnet.Cylinder(
                polarization=(0, 0, stated),
                dimension=[s / 1000 for s in size],
                position=(rod["along_mm"] / 1000, 0, (rod["top_mm"] - size[1] / 2) / 1000),
            )
            for rod in magnets["rods"]
        ]
    )
    checks = [at_most(name, "polarisation off", relative(abs(stated), strength), 1e-6, FACTOR)]
    levels = []
    for string in magnets["strings"]:
        place = np.array([string["along_mm"], 0.0, top + string["above_rods_mm"]]) / 1000
        upwards = rods.getB(place)[2]
        what = f"field at string {string['number']} off"
        checks.append(at_most(name, what, relative(string["tesla"], upwards), 1e-6, CYLINDERS))
        levels.append(level_of(rods, place, string["counts_mm"]))
    levels = np.array(levels) - np.mean(levels, axis=0)
    off = np.abs(levels - [string["decibels"] for string in magnets["strings"]]).max()
    return [*checks, at_most(name, "strings' levels off, dB", off, LEVEL, MODEL)]


def level_of(rods, place, counts):
    """Across and along the string, dB."""
    y = np.linspace(-0.04, 0.04, 1601)
    step = 1e-5

    def squares(height):
        field = rods.getB(np.c_[np.full(len(y), place[0]), y, np.full(len(y), height)])
        return np.array([np.trapezoid(f, y) for f in (field[:, 0] ** 2 + field[:, 2] ** 2, field[:, 1] ** 2)])

    slope = (squares(place[2] + step) - squares(place[2] - step)) / (2 * step)
    return 20 * np.log10(np.abs(slope) * counts)
