"""The STEP files as OpenCASCADE reads them, against the manifest and against parts.py."""

import parts
from measure import Skin, area, bounds, face_kind, genus, is_valid, largest_tolerance, volume
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy
from report import at_most, broken, equal, relative
from samples import skin_points
from solids import cut, faces, solids
from step_file import read_named, read_plain

READER = "OpenCASCADE STEPControl_Reader"
NAMES = "OpenCASCADE STEPCAFControl_Reader"
CHECKER = "OpenCASCADE BRepCheck"
MASS = "OpenCASCADE BRepGProp"
BOUNDS = "OpenCASCADE BRepBndLib"
TOPOLOGY = "OpenCASCADE topology, Euler-Poincare"
REBUILT = "parts.py on OpenCASCADE primitives"
BOOLEAN = "parts.py, OpenCASCADE BRepAlgoAPI_Cut"
DISTANCE = "parts.py, OpenCASCADE BRepExtrema"

SAME_MASS = 1e-9  # relative
SAME_PLACE = 1e-6  # mm; ten times OpenCASCADE's own notion of one and the same point
KNOWN_FACES = ("plane", "cylinder", "torus", "sphere")
HELD_TOGETHER = 1e-5  # mm; looser than this and the curves do not lie on their faces
SAMPLES = 200


def check_part(folder, part):
    """The checks, and the solid OpenCASCADE read (None when it read none)."""
    name, path = part["id"], folder / part["files"]["step"]
    try:
        plain = read_plain(path)
    except Exception as error:
        return [broken(name, "STEP read", error, READER)], None
    found = solids(plain.shape)
    checks = [
        equal(name, "STEP solids", len(found), 1, READER),
        equal(name, "STEP length unit", sorted(set(plain.length_units)), ["millimetre"], READER),
    ]
    checks += attempt(name, "STEP product name", NAMES, lambda: product_name(part, path))
    if len(found) != 1:
        return checks, None
    solid = found[0]
    checks += attempt(name, "STEP solid", MASS, lambda: shape_checks(part, solid))
    checks += attempt(name, "rebuilt solid", REBUILT, lambda: rebuilt_checks(part, solid))
    return checks, solid


def attempt(name, what, source, make):
    try:
        return make()
    except Exception as error:
        return [broken(name, what, error, source)]


def product_name(part, path):
    names = [one.product for one in read_named(path)]
    return [equal(part["id"], "STEP product name", names, [part["id"]], NAMES)]


def shape_checks(part, solid):
    name = part["id"]
    odd = sorted({face_kind(face) for face in faces(solid)} - set(KNOWN_FACES))
    reached = [*bounds(solid)[0], *bounds(solid)[1]]
    stated = [*part["bounds_mm"]["min"], *part["bounds_mm"]["max"]]
    size, skin = relative(part["volume_mm3"], volume(solid)), relative(part["area_mm2"], area(solid))
    return [
        equal(name, "STEP solid valid", is_valid(solid), True, CHECKER),
        equal(name, f"face kinds beyond {', '.join(KNOWN_FACES)}", odd, [], READER),
        at_most(name, "largest tolerance after reading, mm", largest_tolerance(solid), HELD_TOGETHER, READER),
        at_most(name, "volume, relative to manifest", size, SAME_MASS, MASS),
        at_most(name, "area, relative to manifest", skin, SAME_MASS, MASS),
        at_most(name, "bounds, mm from manifest", farthest(reached, stated), SAME_PLACE, BOUNDS),
        equal(name, "through holes of the STEP solid", genus(solid), part["genus"], TOPOLOGY),
    ]


def farthest(first, second):
    return max(abs(a - b) for a, b in zip(first, second, strict=True))


def rebuilt_checks(part, solid):
    name = part["id"]
    twin = parts.build(part)
    size = volume(twin)
    points, apart = skin_distance(solid, twin)
    checks = [
        equal(name, "dimensions unknown to parts.py", parts.unknown(part), [], REBUILT),
        equal(name, "rebuilt solid valid", is_valid(twin), True, CHECKER),
        at_most(name, "volume, relative to rebuilt", relative(volume(solid), size), SAME_MASS, REBUILT),
        at_most(name, "area, relative to rebuilt", relative(area(solid), area(twin)), SAME_MASS, REBUILT),
        at_most(name, f"{len(points)} skin points off the other skin, mm", apart, SAME_PLACE, DISTANCE),
    ]
    odd = difference(solid, twin) / size
    return checks + [at_most(name, "symmetric difference / volume", odd, SAME_MASS, BOOLEAN)]


def difference(first, second):
    """Both halves separately: their sum cannot cancel as a difference of volumes can.
    On copies, because a boolean widens the tolerances of what it is given."""
    a, b = (BRepBuilderAPI_Copy(one).Shape() for one in (first, second))
    return abs(volume(cut(a, [b]))) + abs(volume(cut(b, [a])))


def skin_distance(first, second):
    """Points of each skin and how far the worst lies off the other. Says how far apart two skins
    are where they differ; that they differ nowhere is for `difference` to say."""
    there, back = skin_points(first, SAMPLES), skin_points(second, SAMPLES)
    apart = [Skin(second).distance(point) for point in there]
    apart += [Skin(first).distance(point) for point in back]
    return [*there, *back], max(apart)
