"""Coils and fields by scipy and magpylib: --coils WIND, what `wind --json` says of a family.

Resistance: ASTM B258's formula and IEC 60028's copper. Inductance: Neumann's sum of racetracks cut into chords,
the coil's section in other cells than the program's. Rods: Maxwell's closed form of the demagnetising factor,
as Chen, Brug and Goldfarb (1991) state it; field by magpylib's cylinders. Levels: the model that the program
names, added up along the string by the trapezium rule, the coil's field by chords and discs. Rods' eddy currents: scipy's
Bessel functions. Response: ngspice.
"""

import json
import subprocess
import tempfile
from math import pi, sqrt
from pathlib import Path

import magpylib
import numpy as np
import rod_alone
from report import at_most, broken, relative
from scipy.special import ellipe, ellipk, jv

COPPER = "ASTM B258, IEC 60028"
NEUMANN = "Neumann's double sum, numpy"
CYLINDERS = "magpylib Cylinder"
FACTOR = "Chen, Brug, Goldfarb 1991; scipy ellipk, ellipe"
MODEL = "magpylib, trapezium rule"
CIRCUIT = "ngspice"
BESSEL = "scipy jv, discs by magpylib"

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
    said = json.loads(answer.read_text(encoding="utf-8"))
    for coil in said["positions"]:
        try:
            checks += check_coil(coil)
        except Exception as error:
            checks.append(broken(coil.get("name", "?"), "coil", error, NEUMANN))
    coils = {coil["name"]: coil for coil in said["positions"]}
    for pair in said["together"]:
        name = " and ".join(pair["positions"])
        try:
            both = [coils[position] for position in pair["positions"]]
            for joined in ("series", "parallel"):
                checks.append(network(f"{name} in {joined}", both, joined, pair[joined]["decibels"]))
        except Exception as error:
            checks.append(broken(name, "network", error, CIRCUIT))
    return checks


def check_coil(coil):
    name = f"{coil['name']} coil"
    ohms, henries = resistance(coil), inductance(coil)
    found = [
        at_most(name, "resistance off", relative(coil["ohms"]["expected"], ohms), 1e-4, COPPER),
        at_most(name, "inductance off", relative(coil["henries"]["without_rods"], henries), INDUCTANCE, NEUMANN),
    ]
    found.append(network(name, [coil], None, [note["decibels"]["expected"] for note in coil["notes"]]))
    loudest = max(coil["notes"], key=lambda note: note["decibels"]["expected"])
    near = abs(np.log(coil["peak"]["hertz"]["expected"] / loudest["hertz"]))
    found.append(at_most(name, "peak off the loudest note, octaves", near / np.log(2), 0.2, CIRCUIT))
    found += eddy_checks(name, coil)
    return found + rods_checks(name, coil)


def resistance(coil):
    area = pi / 4 * coil["copper_mm"] ** 2
    core = coil["core"]
    build = coil["turns"] * pi / 4 * coil["over_film_mm"] ** 2 / (coil["packing"] * core["height_mm"])
    turn = 2 * core["span_mm"] + 2 * pi * (core["radius_mm"] + build / 2)
    # Copper is sold that conducts 97 to 101 % of the standard's, and a winder stretches it by 0 to 2 %: in the middle of both.
    usual = 1.01 / 0.99
    return usual * coil["turns"] * turn / 1000 / 58 / area * (1 + 0.00393 * (coil["celsius"] - 20))


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


def network(name, coils, joined, stated):
    """Levels of one coil, or of two that are joined, into what the first one works into, beside that at 100 Hz."""
    load = coils[0]["load"]
    parts = [f"Cable out 0 {load['cable_farads']}", f"Rin out 0 {load['input_ohms']}", f"Rvolume out 0 {load['volume_ohms']}"]
    if load["tone_ohms"]:
        parts += [f"Rtone out tone {load['tone_ohms']}", f"Ctone tone 0 {load['capacitor_farads']}"]
    feet = ["0", "between"] if joined == "series" else ["0", "0"]
    heads = ["between", "out"] if joined == "series" and len(coils) == 2 else ["out", "out"]
    for i, (coil, foot, head) in enumerate(zip(coils, feet, heads)):
        # Bridged by nothing to speak of, so that each part keeps its own name.
        parts += [
            f"V{i} emf{i} {foot} AC {coil['turns']}",
            f"R{i} emf{i} line{i} 1k",
            f"L{i} line{i} {head} 1",
            f"Cown{i} {head} {foot} {coil['own_farads']['expected']}",
        ]
    # Rods make resistance and inductance change from note to note, so each is an analysis of its own.
    runs = []
    for k, note in enumerate(coils[0]["notes"]):
        for i, coil in enumerate(coils):
            runs += [f"alter R{i} {coil['notes'][k]['ohms']:.12g}", f"alter L{i} {coil['notes'][k]['henries']:.12g}"]
        runs += [f"ac lin 1 {note['hertz']:.12g} {note['hertz']:.12g}", "print vm(out)"]
    text = "\n".join(["a pickup", *parts, ".control", "set numdgt=12", *runs, "quit", ".endc", ".end", ""])
    with tempfile.TemporaryDirectory() as folder:
        netlist = Path(folder) / "network.cir"
        netlist.write_text(text, encoding="utf-8")
        answer = subprocess.run(["ngspice", "-b", netlist], capture_output=True, text=True, check=False).stdout
    volts = [float(line.split("=")[1]) for line in answer.splitlines() if line.startswith("vm(out) =")]
    levels = 20 * np.log10(np.array(volts) / volts[0])
    return at_most(name, "levels off, dB", np.abs(levels - stated).max(), 1e-3, CIRCUIT)


def eddy_checks(name, coil):
    """What rods add at each note, from discs that magnetise each other, each by a conducting cylinder's mean field.

    The coil's field is taken all over each disc's section, along the rods and across them, where a long cylinder is
    demagnetised by a half. By how much discs that are magnetised evenly say too little is told by one rod in a round coil of
    the same section, whose surface charges are worked out exactly (rod_alone.py).
    """
    magnets = coil["magnets"]
    diameter, length = magnets["rod_diameter_mm"] / 1000, magnets["rod_length_mm"] / 1000
    recoil, resistivity = sum(RECOILS) / 2, 0.47e-6
    high = length / DISCS
    against = demagnetising(diameter, length, [rod["along_mm"] / 1000 for rod in magnets["rods"]])
    along, across = coil_field(coil, [rod["along_mm"] / 1000 for rod in magnets["rods"]], diameter, length)
    strength = MU_0 * pi / 4 * diameter**2 * high * coil["turns"] ** 2
    uneven = unevenness(coil, recoil - 1)
    worst = [0.0, 0.0]
    for note in coil["notes"]:
        z = np.sqrt(-2j * pi * note["hertz"] * MU_0 * recoil / resistivity) * diameter / 2
        chi = recoil * 2 * jv(1, z) / (z * jv(0, z)) - 1
        adds = uneven * along @ np.linalg.solve(np.eye(len(along)) / chi + against, along)
        adds = strength * (adds + chi / (1 + chi / 2) * across.sum())
        henries = coil["henries"]["without_rods"] + adds.real
        ohms = coil["ohms"]["expected"] - 2 * pi * note["hertz"] * adds.imag
        worst = [max(worst[0], relative(note["henries"], henries)), max(worst[1], relative(note["ohms"], ohms))]
    return [
        at_most(name, "inductance with rods at a note off", worst[0], 1e-3, BESSEL),
        at_most(name, "resistance with rods at a note off", worst[1], 3e-3, BESSEL),
    ]


DISCS = 24


def demagnetising(diameter, length, rods):
    """What discs do to each other's magnetisation, rod by rod from below."""
    high = length / DISCS
    one = magpylib.magnet.Cylinder(polarization=(0, 0, 1), dimension=(diameter, high))
    places = np.array([(x, (k + 0.5) * high) for x in rods for k in range(DISCS)])
    apart = np.abs(places[:, None, :] - places[None, :, :])
    far = np.c_[apart[..., 0].ravel(), np.zeros(apart[..., 0].size), apart[..., 1].ravel()]
    against = -one.getB(far)[:, 2].reshape(len(places), -1)
    # Discs of one rod are averaged over the section.
    radii = diameter / 2 * np.sqrt((np.arange(20) + 0.5) / 20)
    own = []
    for m in range(DISCS):
        z = np.array([m * high + t * high for t in (-0.387298, 0.0, 0.387298)])
        field = one.getB(np.array([(r, 0, v) for v in z for r in radii]))[:, 2].reshape(3, -1).mean(axis=1)
        own.append((1.0 if m == 0 else 0.0) - (5 * field[0] + 8 * field[1] + 5 * field[2]) / 18)
    for i in range(len(rods)):
        for k in range(DISCS):
            for m in range(DISCS):
                against[i * DISCS + k, i * DISCS + m] = own[abs(k - m)]
    return against


def coil_field(coil, rods, diameter, length):
    """Of every disc, for an ampere in a turn that is spread over the coil's section: the mean along the rods, 1/m, and that of
    the square across them, 1/m2."""
    core = coil["core"]
    span, inner, height = (core[key] / 1000 for key in ("span_mm", "radius_mm", "height_mm"))
    low, build = core["from_rods_foot_mm"] / 1000, coil["build_mm"] / 1000
    # Places over half a section, which its other half is like: two radii, four angles, each for as much of it.
    radii = diameter / 2 * np.sqrt(0.5 + np.array([-1, 1]) / sqrt(12))
    angles = pi * (np.arange(4) + 0.5) / 4
    section = np.array([(r * np.cos(a), r * np.sin(a)) for r in radii for a in angles])
    z = (np.arange(DISCS) + 0.5) * length / DISCS
    places = np.array([(x + u, v, w) for x in rods for w in z for u, v in section])
    angle = np.linspace(-pi / 2, pi / 2, 61)
    total = np.zeros((len(places), 3))
    for i in range(5):
        radius = inner + build * (i + 0.5) / 5
        right = np.c_[span / 2 + radius * np.cos(angle), radius * np.sin(angle)]
        corners = np.concatenate([right, -right, right[:1]])
        for k in range(16):
            level = np.full(len(corners), low + height * (k + 0.5) / 16)
            turn = magpylib.current.Polyline(current=1 / 80, vertices=np.c_[corners, level])
            total += turn.getH(places)
    total = total.reshape(len(rods) * DISCS, len(section), 3)
    return total[..., 2].mean(axis=1), (total[..., :2] ** 2).sum(axis=2).mean(axis=1)


def unevenness(coil, chi):
    """By how much one rod in a round coil adds more than its discs say."""
    magnets, core = coil["magnets"], coil["core"]
    diameter, length = magnets["rod_diameter_mm"], magnets["rod_length_mm"]
    field = rod_alone.coil_of(core["radius_mm"], coil["build_mm"], core["from_rods_foot_mm"], core["height_mm"])
    exact = rod_alone.adds(diameter / 2, length, chi, field)
    high = length / DISCS
    radii = diameter / 2 * np.sqrt((np.arange(20) + 0.5) / 20)
    z = (np.arange(DISCS) + 0.5) * high
    away, along = (of.reshape(DISCS, -1) for of in field(np.tile(radii, DISCS), np.repeat(z, len(radii))))
    against = demagnetising(diameter / 1000, length / 1000, [0.0])
    discs = along.mean(axis=1) @ np.linalg.solve(np.eye(DISCS) / chi + against, along.mean(axis=1))
    across = chi / (1 + chi / 2) * (away**2).mean(axis=1).sum()
    volume = pi / 4 * diameter**2 * high * MU_0 / 1000
    return (exact / volume - across) / discs


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


def rods_checks(name, coil):
    magnets = coil["magnets"]
    seen = seen_by(coil)
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
        levels.append(level_of(rods, seen, place, string["counts_mm"]))
    levels = np.array(levels) - np.mean(levels, axis=0)
    off = np.abs(levels - [string["decibels"] for string in magnets["strings"]]).max()
    return [*checks, at_most(name, "strings' levels off, dB", off, LEVEL, MODEL)]


def seen_by(coil):
    """Coil and rods as an ampere in it makes field: turns, and discs that it magnetises, of a middling permeability."""
    magnets, core = coil["magnets"], coil["core"]
    diameter, length = magnets["rod_diameter_mm"] / 1000, magnets["rod_length_mm"] / 1000
    along = [rod["along_mm"] / 1000 for rod in magnets["rods"]]
    foot, high = magnets["rods"][0]["top_mm"] / 1000 - length, length / DISCS
    field, _ = coil_field(coil, along, diameter, length)
    against = demagnetising(diameter, length, along)
    discs = np.linalg.solve(np.eye(len(field)) / (sum(RECOILS) / 2 - 1) + against, field) * MU_0
    all_of_it = magpylib.Collection()
    for i, disc in enumerate(discs):
        place = (along[i // DISCS], 0, foot + (i % DISCS + 0.5) * high)
        all_of_it.add(magpylib.magnet.Cylinder(polarization=(0, 0, disc), dimension=(diameter, high), position=place))
    span, inner, height = (core[key] / 1000 for key in ("span_mm", "radius_mm", "height_mm"))
    low, build = foot + core["from_rods_foot_mm"] / 1000, coil["build_mm"] / 1000
    angle = np.linspace(-pi / 2, pi / 2, 41)
    for i in range(6):
        radius = inner + build * (i + 0.5) / 6
        right = np.c_[span / 2 + radius * np.cos(angle), radius * np.sin(angle)]
        corners = np.concatenate([right, -right, right[:1]])
        for k in range(12):
            level = np.full(len(corners), low + height * (k + 0.5) / 12)
            all_of_it.add(magpylib.current.Polyline(current=1 / 72, vertices=np.c_[corners, level]))
    return all_of_it


def level_of(rods, seen, place, counts):
    """Across and along the string, dB: its moment goes with the rods' field, and by reciprocity the coil sees it by its own."""
    y = np.concatenate([-np.geomspace(0.04, 1e-4, 90), np.linspace(-9e-5, 9e-5, 3), np.geomspace(1e-4, 0.04, 90)])
    step = 2e-5

    def products(height):
        places = np.c_[np.full(len(y), place[0]), y, np.full(len(y), height)]
        field = rods.getB(places) * seen.getB(places)
        return np.array([np.trapezoid(f, y) for f in (field[:, 0] + field[:, 2], field[:, 1])])

    slope = (products(place[2] + step) - products(place[2] - step)) / (2 * step)
    return 20 * np.log10(np.abs(slope) * counts)
