"""Meshes in the two frames of a part: as it lies on the bed, and as it is drawn.

A file's point is rotation · part's point + shift, all from the manifest. Coordinates are rounded to
32 bits where the part lies, so what rounding may do is said of the mesh as it lies.
"""

import numpy as np
import trimesh

# Which way each side of a right-handed part faces in its own frame: bass and treble are the ends of the
# row of strings, neck and bridge its sides.
OUTWARDS = {
    "underside": (0, 0, -1), "top": (0, 0, 1), "bass": (-1, 0, 0),
    "treble": (1, 0, 0), "bridge": (0, -1, 0), "neck": (0, 1, 0),
}

DOWN = np.array([0.0, 0.0, -1.0])


def outwards(part, side):
    """Which way a side of a part faces: on an instrument for the left hand the ends change places."""
    x, y, z = OUTWARDS[side]
    return np.array([-x if part.get("handed") == "left" else x, y, z], dtype=float)


def is_nominal(part):
    return part["printed"].get("profile") is None


def frame(part):
    printed = part["printed"]
    return np.array(printed["rotation"], dtype=float), np.array(printed["shift_mm"], dtype=float)


def loaded(path):
    """The mesh as it lies; corners that were written apart are joined where they are equal."""
    return trimesh.load_mesh(path, process=True, merge_norm=True, merge_tex=True)


def turned_back(mesh, part):
    """The same mesh in the part's own frame."""
    rotation, shift = frame(part)
    return trimesh.Trimesh((np.asarray(mesh.vertices) - shift) @ rotation, mesh.faces, process=False)


def rounding(mesh):
    """What 32-bit coordinates alone may move a vertex by. `mesh` as it lies."""
    return float(np.sqrt(3) * np.spacing(np.float32(np.abs(mesh.bounds).max())) / 2)


def frame_faults(part):
    """What is wrong with the rotation: not whole quarter turns, a mirror, another side below."""
    rotation, _ = frame(part)
    found = []
    if not np.isin(rotation, (-1.0, 0.0, 1.0)).all() or (rotation @ rotation.T != np.eye(3)).any():
        found.append("no quarter turns")
    if np.linalg.det(rotation) < 0.5:
        found.append("mirrored")
    if (rotation @ outwards(part, part["printed"]["on_bed"]) != DOWN).any():
        found.append("another side lies below")
    return found
