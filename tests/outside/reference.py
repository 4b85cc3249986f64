"""The files of a family as OpenCASCADE alone makes them, for speed.py to time."""

from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.StlAPI import StlAPI_Writer

import parts
from step_file import quiet, write_assembly, write_plain

DEFAULT_ANGLE = 0.5  # radians; OpenCASCADE's own default, given only to reach "in parallel"

quiet()


def write_family(manifest, out):
    placed = []
    for part in manifest["parts"]:
        solid = parts.build(part)
        write_plain(solid, out / part["files"]["step"])
        write_mesh(solid, manifest["chord_tolerance_mm"], out / part["files"]["stl"])
        placed.append((part["id"], solid, part["place_mm"]))
    write_assembly(placed, manifest["family"], out / manifest["assembly"])


def write_mesh(solid, tolerance, path):
    BRepMesh_IncrementalMesh(solid, tolerance, False, DEFAULT_ANGLE, True)
    writer = StlAPI_Writer()
    writer.ASCIIMode = False
    if not writer.Write(solid, str(path)):
        raise ValueError(f"OpenCASCADE cannot write {path.name}")
