"""What one solid has and another has not, by manifold3d from OpenCASCADE's triangles of the STEP solids:
never from an STL, which may be drawn for a printer."""

from dataclasses import dataclass

import manifold3d
import numpy as np

from solid_mesh import Skin, skinned
from strays import strays


@dataclass
class Meshed:
    skin: Skin
    # For each triangle, how far it strays from its exact face, mm.
    stray: np.ndarray

    @property
    def corners(self):
        return self.skin.mesh.triangles.view(np.ndarray)


@dataclass
class Rest:
    """What is left of `whole` without `tool`, and the triangles that border it, corners of each."""

    volume: float
    of_whole: np.ndarray
    of_tool: np.ndarray
    # mm³ that the exact solids' rest can differ by.
    room: float


def meshed(solid, chord):
    skin = skinned(solid, chord)
    return Meshed(skin, strays(skin))


def rest(whole, tool):
    """The rest is bordered by pieces of both meshes, and each piece lies no further from its exact
    face than its triangle strays: area times stray, summed, is the volume between the two borders.
    Where both solids have the same curved face in different triangles, slivers are left between
    them; their pieces are counted like all others, on both sides."""
    count = len(whole.stray)
    left = manifold(whole, 0) - manifold(tool, count)
    found = left.to_mesh64()
    corners = found.vert_properties[:, :3][found.tri_verts.astype(int)]
    sources = np.array(found.face_id, dtype=int)
    stray = np.concatenate([whole.stray, tool.stray])[sources]
    room = float((areas(corners) * stray).sum())
    return Rest(left.volume(), corners[sources < count], corners[sources >= count], room)


def manifold(meshed, first):
    """Every triangle is numbered, from `first`; manifold3d hands the numbers on to what it cuts."""
    mesh = meshed.skin.mesh
    numbers = np.arange(first, first + len(mesh.faces), dtype=np.uint64)
    vertices, faces = np.array(mesh.vertices, dtype=np.float64), np.array(mesh.faces, dtype=np.uint64)
    found = manifold3d.Manifold(manifold3d.Mesh64(vertices, faces, face_id=numbers))
    if found.status() != manifold3d.Error.NoError:
        raise ValueError(f"manifold3d turns the triangles down: {found.status().name}")
    return found


def areas(corners):
    sides = corners[:, 1:] - corners[:, :1]
    return np.linalg.norm(np.cross(sides[:, 0], sides[:, 1]), axis=1) / 2
