"""The plates (3MF): every part once, in its place on the bed, and the mesh that its STL holds."""

import numpy as np

from lying import loaded, rounding
from plate_file import MODEL, THUMBNAIL, read_package, read_plate, read_scene
from plate_gaps import beyond, least_gap, shadow
from report import Check, at_most, broken, equal

LIB3MF = "lib3mf, strict"
SHADOWS = "lib3mf; shapely"
TRIMESH = "trimesh"
ZIP = "Python zipfile"
PNG = b"\x89PNG\r\n\x1a\n"


def check_plates(folder, manifest):
    checks, printed = [], []
    parts = {part["id"]: part for part in manifest["parts"]}
    for plate in manifest["plates"]:
        name, path = plate["file"], folder / plate["file"]
        printed += [one["id"] for one in plate["parts"]]
        meshes = {}
        steps = [
            ("package", ZIP, lambda: package_checks(name, path)),
            ("plate", LIB3MF, lambda: plate_checks(folder, manifest, plate, parts, meshes)),
            ("plate as a scene", TRIMESH, lambda: scene_checks(name, path, meshes)),
        ]
        for what, source, step in steps:
            try:
                checks += step()
            except Exception as error:
                checks.append(broken(name, what, error, source))
    return checks + [equal("plates", "parts, each once", sorted(printed), sorted(id for id, part in parts.items() if "printed" in part), LIB3MF)]


def package_checks(name, path):
    package = read_package(path)
    targets = package.targets
    return [
        equal(name, "damaged files in the package", package.broken, "", ZIP),
        equal(name, "packed otherwise than 0 or 8, or twice", package.odd_methods, [], ZIP),
        equal(name, "files without a content type", package.without_type, [], ZIP),
        equal(name, "start parts", sum(kind == MODEL for kind, _ in targets), 1, ZIP),
        equal(name, "thumbnails", sum(kind == THUMBNAIL for kind, _ in targets), 1, ZIP),
        equal(name, "targets that are missing", package.missing, [], ZIP),
    ]


def plate_checks(folder, manifest, plate, parts, meshes):
    """`meshes` is filled with the mesh that the STL of each part on the plate holds."""
    name, read = plate["file"], read_plate(folder / plate["file"])
    meshes |= {one["id"]: loaded(folder / parts[one["id"]]["files"]["stl"]) for one in plate["parts"]}
    ids = sorted(meshes)
    titled = read.metadata.get("Title") == manifest["title"]
    program = " ".join(manifest["program"].values())
    checks = model_checks(name, read, ids) + [
        equal(name, "title is the family's", titled, True, LIB3MF),
        equal(name, "application", read.metadata.get("Application"), program, LIB3MF),
    ]
    at = {one["id"]: [*one["at_mm"], 0.0] for one in plate["parts"]}
    for one in read.items:
        off, step = float(np.abs(one.at - at[one.name]).max()), nearest_32_bit(one.placed)
        checks += item_checks(f"{name}/{one.name}", one, plate["bed_mm"], meshes[one.name])
        checks.append(at_most(f"{name}/{one.name}", "place, mm from manifest", off, step, LIB3MF))
    if len(read.items) > 1:
        checks.append(gap_check(name, read.items, plate["spacing_mm"]))
    return checks


def model_checks(name, read, ids):
    return [
        equal(name, "warnings", read.warnings, [], LIB3MF),
        equal(name, "unit", read.unit, "MilliMeter", LIB3MF),
        equal(name, "objects that are not built", read.objects - len(read.items), 0, LIB3MF),
        equal(name, "names", sorted(one.name for one in read.items), ids, LIB3MF),
        equal(name, "part numbers of objects", sorted(one.object_number for one in read.items), ids, LIB3MF),
        equal(name, "part numbers of items", sorted(one.item_number for one in read.items), ids, LIB3MF),
        equal(name, "thumbnail is a PNG", read.thumbnail.startswith(PNG), True, LIB3MF),
        equal(name, "title given", bool(read.metadata.get("Title")), True, LIB3MF),
        equal(name, "application given", bool(read.metadata.get("Application")), True, LIB3MF),
    ]


def item_checks(name, one, bed, mesh):
    step = nearest_32_bit(one.placed)
    return [
        equal(name, "manifold and oriented", one.sound, True, LIB3MF),
        equal(name, "turned or scaled on the plate", (one.linear != np.eye(3)).any(), False, LIB3MF),
        at_most(name, "out of the bed, mm", beyond(one.placed, bed), step, LIB3MF),
        equal(name, "lowest point, mm over the bed", float(one.placed[:, 2].min()), 0.0, LIB3MF),
        equal(name, "same triangles as in the STL", same_triangles(one, mesh), True, LIB3MF),
    ]


def nearest_32_bit(placed):
    """What rounding to 32 bits may do to a place: half a step for the shift, half for the corner."""
    return float(np.spacing(np.float32(np.abs(placed).max())))


def same_triangles(one, mesh):
    """Corner by corner, bit for bit, whatever the order; where a triangle begins does not count."""
    return ordered(one.vertices[one.triangles]) == ordered(mesh.triangles)


def ordered(triangles):
    """Each triangle from its least corner on, in the same sense of rotation."""
    found = []
    for corners in np.asarray(triangles, dtype=np.float32).tolist():
        first = corners.index(min(corners))
        found.append(corners[first:] + corners[:first])
    return sorted(found)


def gap_check(name, items, spacing):
    """Both parts' places and corners are rounded, hence twice."""
    room = 2 * max(nearest_32_bit(one.placed) for one in items)
    shadows = [shadow(one.placed, one.triangles) for one in items]
    least, measured = least_gap(shadows, 2 * spacing)
    what = f"nearest parts, mm apart ({measured} pairs by their shadows)"
    short = max(0.0, spacing - least)
    return Check(name, what, f"{least:.6f}", f">= {spacing:g}", short <= room, SHADOWS, short / room)


def scene_checks(name, path, meshes):
    """trimesh keeps the decimals in 64 bits, so its corners are off those of the STL by what rounding
    to 32 bits does, and the volume by that over the whole skin."""
    units, found = read_scene(path)
    wanted = sorted(meshes.items())
    checks = [
        equal(name, "unit", units, "millimeter", TRIMESH),
        equal(name, "names", [one for one, _ in found], [one for one, _ in wanted], TRIMESH),
    ]
    for (one, volume), (_, mesh) in zip(found, wanted):
        off, room = abs(volume - mesh.volume), rounding(mesh) * mesh.area
        checks.append(at_most(f"{name}/{one}", "volume, mm3 from the STL's", off, room, TRIMESH))
    return checks
