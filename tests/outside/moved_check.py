"""What came off and on, and how far surfaces moved, against OpenCASCADE's triangles of the two STEP
solids: manifold3d takes one from the other, and the furthest that the surface of either reaches from
the other's is the Hausdorff distance H, on surface_distance.py's word.

The program states the largest movement of any feature. No surface can have moved further, or the
figure is too small, so H is at most what it states. Versions fail by that where it should have added up
movements: of two features whose walls meet in an edge, or of a rounding and of what it is tangent to.

The other way round a feature can move where no surface shows it, so what the program states is held to
H only as far as it must show:

One kind of movement only, in plan or of levels or of the rounding: all of it.

In plan and of levels at once: the program takes the hypotenuse of both for every feature. A wall away
from its edges shows the one, a floor or a top the other, so H is at least the larger of the two, and the
hypotenuse is at most sqrt 2 times that.

The rounding and n of the other two: a wall or a top shows their d; where the rounding is furthest from
its edge, at 45 degrees, it shows g = (sqrt 2 - 1) times the difference in radius, less at most d / sqrt 2
for each. So H is at least d and at least g - n d / sqrt 2, which is g / (1 + n / sqrt 2) or more.

The versions must have the same features: one that only one of them has did not move. And none may have
moved further than half the thickness of what it is in: other surfaces are then nearer than its own.
"""

from math import sqrt

from OCP.BRepAdaptor import BRepAdaptor_Surface

from measure import face_kind
from mesh_rest import meshed, rest
from report import at_most
from solids import faces
from surface_distance import Surface, furthest

MANIFOLD = "manifold3d, OpenCASCADE BRepMesh of the STEP files"
HAUSDORFF = "Hausdorff distance, trimesh and OpenCASCADE BRepMesh"

CHORD = 4e-3  # mm; what BRepMesh is asked for. strays.py measures what it did.
CLOSE = 5e-3  # mm; how well the Hausdorff distance is found
EXACT = 1e-6  # mm; the program takes surfaces nearer than that for the same
SAME = 3e-3  # mm³; as in difference_check.py


def check_moved(name, part, was, now):
    earlier, later = meshed(was, CHORD), meshed(now, CHORD)
    removed, added = rest(earlier, later), rest(later, earlier)
    shown = hausdorff(earlier, later, removed, added)
    strays = float(earlier.stray.max() + later.stray.max())
    stated, factor = part["moved_mm"], most_over(was, now)
    return [
        volume_check(name, "volume taken off", part["removed_mm3"], removed),
        volume_check(name, "volume put on", part["added_mm3"], added),
        at_most(name, "surface moved further than stated, mm", shown - stated, strays + EXACT, HAUSDORFF),
        at_most(
            name,
            f"stated movement over {factor:.3g} times the surface's, mm",
            stated - factor * shown,
            factor * (CLOSE + strays) + EXACT,
            HAUSDORFF,
        ),
    ]


def volume_check(name, what, stated, left):
    off = abs(stated - left.volume)
    return at_most(name, f"{what}, mm3 off the meshes", off, left.room + SAME, MANIFOLD)


def hausdorff(earlier, later, removed, added):
    """Between the meshes, or up to CLOSE less. What both have in common is no distance from either; the rest
    of either surface borders what came off or on."""
    was, now = Surface(earlier.skin), Surface(later.skin)
    of_earlier = [(removed.of_whole, now), (added.of_tool, now)]
    of_later = [(removed.of_tool, was), (added.of_whole, was)]
    return furthest(of_earlier + of_later, CLOSE)


def most_over(was, now):
    """How many times the surface's movement the program may state: see above."""
    plan, level, rounding = [one != other for one, other in zip(sizes(was), sizes(now))]
    others = plan + level
    if rounding:
        return 1 + others / sqrt(2)
    return sqrt(2) if others == 2 else 1.0


def sizes(solid):
    """What of the faces lies in plan, what are levels, and radii of roundings, each sorted. Of a rounding's
    face the place in plan and the height are those of what it is tangent to, so only its radius is new."""
    plan, level, rounding = set(), set(), set()
    for face in faces(solid):
        kind, surface = face_kind(face), BRepAdaptor_Surface(face)
        if kind == "plane":
            axis = surface.Plane().Axis().Direction()
            at = surface.Plane().Location().XYZ().Dot(axis.XYZ())
            if abs(axis.Z()) > 0.5:
                level.add(rounded(at * axis.Z()))
            else:
                plan.add(rounded(at, axis.X(), axis.Y()))
        elif kind == "cylinder" and abs(surface.Cylinder().Axis().Direction().Z()) > 0.5:
            centre = surface.Cylinder().Location()
            plan.add(rounded(centre.X(), centre.Y(), surface.Cylinder().Radius()))
        elif kind == "cylinder":
            rounding.add(rounded(surface.Cylinder().Radius()))
        elif kind == "torus":
            rounding.add(rounded(surface.Torus().MinorRadius()))
        else:
            rounding.add(rounded(surface.Sphere().Radius()))
    return plan, level, rounding


def rounded(*sizes):
    return tuple(round(size / EXACT) for size in sizes)
