"""Surface that leans beyond 45 degrees from upright, for all six sides on the bed, by OpenCASCADE's own
fine triangles of the STEP solid, turned here; and the surface on the bed.

The program weighs sides on coarser triangles, within WEIGHED of the exact part. On a curved face of
radius r such a triangle spans up to 2 h, h = acos(1 - WEIGHED / r), so its lean is off that of its
points by up to h (on a torus or sphere by as much again in the other direction). Surface whose own
lean is no further than that from 45 degrees may count on either side. What counts is short by up to
h²/6 of it, as chords are of arcs, in each curved direction; and by up to WEIGHED along every edge
that is not straight.
"""

from math import acos, radians, sin

import numpy as np
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepGProp import BRepGProp
from OCP.GeomAbs import GeomAbs_Line
from OCP.GProp import GProp_GProps

from lying import OUTWARDS, outwards
from measure import face_kind, least_radius
from report import at_most, broken, equal
from solid_mesh import skinned
from solids import edges

SOURCE = "OpenCASCADE BRepMesh; numpy"
LIMIT = radians(45)  # all demo printers say so, in words or by default
WEIGHED = 0.01  # mm; the program's chord tolerance when it weighs sides
FINE = 0.001  # mm; the chord here
ON_BED = 1e-6  # mm
SOUND = 1e-6  # mm2; of areas that are the same, summed in another order


class Face:
    """What of a face decides how well triangles stand for it."""

    def __init__(self, face):
        kind = face_kind(face)
        self.ways = {"plane": 0, "cylinder": 1}.get(kind, 2)
        self.radius = least_radius(face) if self.ways else 1.0
        self.bent_edges = sum(length(edge) for edge in edges(face) if is_bent(edge))

    def half_turn(self, chord):
        return acos(max(1 - chord / self.radius, -1)) if self.ways else 0.0

    def strays(self, chord):
        """How far a triangle's normal can be off that of a point of it, radians."""
        return self.ways * self.half_turn(chord)

    def short(self, chord):
        """Share of its area that triangles can lack."""
        return self.ways * self.half_turn(chord) ** 2 / 6


def is_bent(edge):
    return BRepAdaptor_Curve(edge).GetType() != GeomAbs_Line


def length(edge):
    found = GProp_GProps()
    BRepGProp.LinearProperties_s(edge, found)
    return found.Mass()


def check_part(part, solid):
    try:
        return side_checks(part, solid)
    except Exception as error:
        return [broken(part["id"], "overhangs", error, SOURCE)]


def side_checks(part, solid):
    name, candidates = part["id"], part["printed"]["candidates"]
    skin = skinned(solid, FINE)
    known = [Face(face) for face in skin.faces]
    sides = sorted(one["on_bed"] for one in candidates)
    checks = [equal(name, "sides weighed", sides, sorted(OUTWARDS), SOURCE)]
    for one in candidates:
        side = one["on_bed"]
        (leaning, room), (bed, bed_room) = overhang(skin, known, outwards(part, side))
        stated = one["support_area_mm2"] + one["bridged_mm2"] + one["drooping_mm2"]
        off, bed_off = abs(stated - leaning), abs(one["contact_mm2"] - bed)
        checks += [
            at_most(name, f"{side} on the bed: leaning, mm2 off {leaning:.1f}", off, room, SOURCE),
            at_most(name, f"{side} on the bed: contact, mm2 off {bed:.1f}", bed_off, bed_room, SOURCE),
        ]
    return checks


def overhang(skin, known, down):
    """Leaning area and area on the bed with a side down, each with what it may be off by."""
    mesh, of, both = skin.mesh, skin.face_of, WEIGHED + FINE
    heights = mesh.triangles @ down
    on_bed = (heights.max() - heights).max(axis=1) <= ON_BED
    downwards = mesh.face_normals @ down
    leans = ~on_bed & (downwards > sin(LIMIT))
    areas = np.bincount(of, mesh.area_faces * leans, len(known))
    stray = np.array([face.strays(WEIGHED) + face.strays(FINE) for face in known])
    near = np.abs(np.arcsin(np.clip(downwards, -1, 1)) - LIMIT) <= stray[of]
    unsure = float((mesh.area_faces * (near & (stray[of] > 0))).sum())
    short = sum(a * (face.short(WEIGHED) + face.short(FINE)) for a, face in zip(areas, known))
    bent = [face.bent_edges * both for face in known]
    touched, beds = np.unique(of[leans]), np.unique(of[on_bed])
    room = unsure + short + sum(bent[i] for i in touched) + SOUND
    bed_room = sum(bent[i] for i in beds) + SOUND
    return (float(areas.sum()), room), (float(mesh.area_faces[on_bed].sum()), bed_room)
