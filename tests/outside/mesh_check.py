"""The STL files as trimesh and manifold3d read them, against the manifest and the STEP solid.

An STL holds the part as it lies on the bed; it is turned back before it is measured against the
STEP solid. A part drawn for a printer has another size than the STEP solid: of that one the volume
is checked here, against the manifest, and its shape in compensation_check.py.

Volume: a mesh that nowhere strays more than the chord tolerance t from the surface, and not at
all on plane faces, encloses a volume that differs by at most t times the curved area.
"""

import manifold3d
import numpy as np

from lying import frame_faults, is_nominal, loaded, rounding, turned_back
from measure import Skin, area, curved_area, volume
from report import at_most, broken, equal
from samples import chord_points, farthest_from_mesh, skin_points, some
from stl_file import degenerate, read_stl, turned_normals

BYTES = "numpy, the bytes of the file"
TRIMESH = "trimesh"
MANIFOLD = "manifold3d"
VOLUME = "trimesh; OpenCASCADE BRepGProp"
DISTANCE = "OpenCASCADE BRepExtrema"
NEAREST = "OpenCASCADE BRepMesh nodes; trimesh"

ON_SURFACE = 1e-4  # mm
FOLDED = 178.0  # degrees between neighbouring normals
# A single stray vertex must not slip through, so all are measured unless there are too many.
VERTICES, CHORDS, NODES = 5000, 800, 200
DRAWN_BY = 0.5  # mm; no border is drawn further off its nominal place, see compensation_check.py


def check_part(folder, part, tolerance, solid):
    name, path = part["id"], folder / part["files"]["stl"]
    try:
        records = read_stl(path)
        lies = loaded(path)
        mesh = turned_back(lies, part)
    except Exception as error:
        return [broken(name, "STL read", error, TRIMESH)]
    checks, off = [], rounding(lies)
    steps = [
        ("STL bytes", BYTES, lambda: byte_checks(part, records)),
        ("mesh", TRIMESH, lambda: closed_checks(part, mesh)),
        ("mesh as manifold", MANIFOLD, lambda: manifold_checks(part, mesh)),
        ("mesh on the bed", TRIMESH, lambda: frame_checks(part, lies)),
        ("printed volume", VOLUME, lambda: volume_check(part, lies, tolerance, solid)),
    ]
    if is_nominal(part):
        steps += [
            ("mesh bounds", TRIMESH, lambda: bounds_check(part, mesh, tolerance + off)),
            ("mesh against STEP solid", DISTANCE, lambda: surface_checks(part, mesh, tolerance, off, solid)),
        ]
    for what, source, step in steps:
        try:
            checks += step()
        except Exception as error:
            checks.append(broken(name, what, error, source))
    return checks


def byte_checks(part, records):
    name = part["id"]
    return [
        equal(name, "STL triangles", len(records), part["printed"]["triangles"], BYTES),
        equal(name, "STL triangles with two equal corners", degenerate(records), 0, BYTES),
        equal(name, "STL normals against winding", turned_normals(records), 0, BYTES),
    ]


def closed_checks(part, mesh):
    name = part["id"]
    return [
        equal(name, "mesh watertight", mesh.is_watertight, True, TRIMESH),
        equal(name, "mesh winding consistent", mesh.is_winding_consistent, True, TRIMESH),
        equal(name, "mesh volume positive", bool(mesh.volume > 0), True, TRIMESH),
        equal(name, "mesh pieces", mesh.body_count, 1, TRIMESH),
        equal(name, "Euler number of the mesh", mesh.euler_number, 2 - 2 * part["genus"], TRIMESH),
        at_most(name, "sharpest bend between triangles, degrees", sharpest(mesh), FOLDED, TRIMESH),
    ]


def sharpest(mesh):
    """A triangle folded back onto its neighbour. Needles are left out: rounding to 32 bits turns
    their normals at will."""
    sides = np.linalg.norm(mesh.triangles - np.roll(mesh.triangles, 1, axis=1), axis=2)
    thickness = 2 * mesh.area_faces / sides.max(axis=1)
    sound = (thickness > 1e-3)[mesh.face_adjacency].all(axis=1)
    return float(np.degrees(mesh.face_adjacency_angles[sound]).max())


def manifold_checks(part, mesh):
    name = part["id"]
    raw = manifold3d.Mesh(
        vert_properties=np.asarray(mesh.vertices, dtype=np.float32),
        tri_verts=np.asarray(mesh.faces, dtype=np.uint32),
    )
    solid = manifold3d.Manifold(raw)
    return [
        equal(name, "manifold status", solid.status().name, "NoError", MANIFOLD),
        equal(name, "manifold genus", solid.genus(), part["genus"], MANIFOLD),
    ]


def frame_checks(part, lies):
    name = part["id"]
    return [
        equal(name, "faults of the turn to the bed", frame_faults(part), [], TRIMESH),
        equal(name, "least corner of the STL", lies.bounds[0].tolist(), [0.0, 0.0, 0.0], TRIMESH),
    ]


def bounds_check(part, mesh, allowed):
    stated = np.array([part["bounds_mm"]["min"], part["bounds_mm"]["max"]])
    off = float(np.abs(mesh.bounds - stated).max())
    return [at_most(part["id"], "mesh bounds, mm from manifest", off, allowed, TRIMESH)]


def volume_check(part, lies, tolerance, solid):
    """Against the volume stated for the print. For a printer a border is drawn in or out by a few
    tenths at most, and a curved face of radius r changes its area by no more than that in r."""
    if solid is None:
        raise ValueError("no STEP solid to take the curved area from")
    drawn = 0.0 if is_nominal(part) else DRAWN_BY
    room = tolerance * curved_area(solid, drawn) + rounding(lies) * area(solid)
    off = abs(lies.volume - part["printed"]["volume_mm3"])
    return [at_most(part["id"], "mesh volume, mm3 from the stated print", off, room, VOLUME)]


def surface_checks(part, mesh, tolerance, off, solid):
    if solid is None:
        raise ValueError("no STEP solid to measure against")
    name, allowed = part["id"], tolerance + off
    skin, exact = Skin(solid), volume(solid)
    room = tolerance * curved_area(solid) + off * area(solid)
    corners = [skin.distance(point) for point in some(mesh.vertices, VERTICES)]
    middles = [skin.distance(point) for point in chord_points(mesh, CHORDS)]
    nodes = skin_points(solid, NODES)
    back = farthest_from_mesh(nodes, mesh, 2 * allowed)
    return [
        at_most(name, "mesh volume, mm3 from STEP", abs(mesh.volume - exact), room, VOLUME),
        at_most(name, f"{len(corners)} mesh vertices off the solid, mm", max(corners), ON_SURFACE, DISTANCE),
        at_most(name, f"{len(middles)} points on facets off the solid, mm", max(middles), allowed, DISTANCE),
        at_most(name, f"{len(nodes)} points of the solid off the mesh, mm", back, allowed, NEAREST),
    ]
