"""Parts of families that nobody thought of (tests/src/bin/random_parts.rs): OpenCASCADE finds each STEP file a valid
solid of the same volume, area and holes, manifold3d takes each STL file as a solid of nearly that volume.

python random_check.py FOLDER prints the table by itself, in as many processes as there are cores.
"""

import json
import sys
from multiprocessing import Pool
from pathlib import Path

from lying import loaded, rounding
from measure import area, bounds, curved_area, genus, is_valid, off_on_spheres, volume
from mesh_check import manifold_checks
from report import at_most, broken, equal, relative, summary, tally
from solids import solids
from step_file import quiet, read_plain

CHECKER = "OpenCASCADE BRepCheck"
MASS = "OpenCASCADE BRepGProp"
TOPOLOGY = "OpenCASCADE topology, Euler-Poincare"
TRIMESH = "trimesh; OpenCASCADE BRepGProp"

SAME_MASS = 1e-9  # relative


def check_part(folder, part):
    name = part["id"]
    try:
        found = solids(read_plain(folder / f"{name}.step").shape)
        mesh = loaded(folder / f"{name}.stl")
        checks = manifold_checks(part, mesh)
    except Exception as error:
        return [broken(name, "random part read", error, CHECKER)]
    checks.append(equal(name, "random part: solids", len(found), 1, CHECKER))
    if len(found) != 1:
        return checks
    solid = found[0]
    bound = part["chord_mm"] * curved_area(solid) + rounding(mesh) * area(solid)
    # What OpenCASCADE's measure itself is off; in volume it counts by a third of the way from the origin.
    off = off_on_spheres(solid)
    reach = max(abs(x) for corner in bounds(solid) for x in corner) * 3**0.5
    mass = SAME_MASS + off * reach / 3 / part["volume_mm3"]
    skin = SAME_MASS + off / part["area_mm2"]
    return checks + [
        equal(name, "random part: valid", is_valid(solid), True, CHECKER),
        at_most(name, "random part: volume, relative", relative(part["volume_mm3"], volume(solid)), mass, MASS),
        at_most(name, "random part: area, relative", relative(part["area_mm2"], area(solid)), skin, MASS),
        equal(name, "random part: through holes", genus(solid), part["genus"], TOPOLOGY),
        at_most(name, "random part: volume of the mesh, mm³ off", abs(mesh.volume - volume(solid)), bound, TRIMESH),
    ]


def one(job):
    quiet()
    return check_part(*job)


def check_random(folder):
    parts = json.loads((folder / "parts.json").read_text())
    with Pool() as pool:
        return [check for checks in pool.imap(one, [(folder, part) for part in parts], 8) for check in checks]


if __name__ == "__main__":
    made = check_random(Path(sys.argv[1]).resolve())
    summary(made)
    sys.exit(1 if tally(made) else 0)
