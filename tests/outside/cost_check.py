"""What a print takes, from OpenCASCADE's volume of the STEP solid. All demo printers print PLA."""

from math import fsum, pi

from measure import volume
from report import at_most, broken, relative
from step_check import SAME_MASS

SOURCE = "OpenCASCADE BRepGProp"
SUM = "sum of parts"
DENSITY = 1.24e-3  # g/mm3, PLA
FILAMENT = pi / 4 * 1.75**2  # mm2
SAME_SUM = 1e-12  # relative


def check_part(part, solid):
    name, cost = part["id"], part["printed"]["cost"]
    try:
        size = volume(solid)
        mass = relative(cost["mass_g"], size * DENSITY)
        filament = relative(cost["filament_m"], size / FILAMENT / 1000)
    except Exception as error:
        return [broken(name, "mass and filament", error, SOURCE)]
    return [
        at_most(name, "mass, relative", mass, SAME_MASS, SOURCE),
        at_most(name, "filament, relative", filament, SAME_MASS, SOURCE),
    ]


def check_plates(manifest):
    """Every figure of a plate is the sum of those of its parts."""
    costs = {part["id"]: part["printed"]["cost"] for part in manifest["parts"] if "printed" in part}
    checks = []
    for plate in manifest["plates"]:
        mine = [figures(costs[one["id"]]) for one in plate["parts"]]
        sums = [fsum(column) for column in zip(*mine)]
        off = max(relative(a, b) for a, b in zip(figures(plate["cost"]), sums))
        checks.append(at_most(plate["file"], "mass, filament and time, relative", off, SAME_SUM, SUM))
    return checks


def figures(cost):
    return [cost["mass_g"], cost["filament_m"], *cost["minutes"]]
