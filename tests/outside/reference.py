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


def stages(manifest, out):
    """The same, stage by stage, each over all parts, as functions to be called in this order."""
    solids, tolerance = {}, manifest["chord_tolerance_mm"]

    def build():
        solids.update({part["id"]: parts.build(part) for part in manifest["parts"]})

    def step():
        for part in manifest["parts"]:
            write_plain(solids[part["id"]], out / part["files"]["step"])

    def tessellate():
        for solid in solids.values():
            BRepMesh_IncrementalMesh(solid, tolerance, False, DEFAULT_ANGLE, True)

    def stl():
        for part in manifest["parts"]:
            write_stl(solids[part["id"]], out / part["files"]["stl"])

    return {"solids": build, "STEP": step, "tessellation": tessellate, "STL": stl}


def write_mesh(solid, tolerance, path):
    BRepMesh_IncrementalMesh(solid, tolerance, False, DEFAULT_ANGLE, True)
    write_stl(solid, path)


def write_stl(solid, path):
    writer = StlAPI_Writer()
    writer.ASCIIMode = False
    if not writer.Write(solid, str(path)):
        raise ValueError(f"OpenCASCADE cannot write {path.name}")
