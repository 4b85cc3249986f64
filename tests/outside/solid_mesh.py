"""OpenCASCADE's own triangles of a solid, face by face, as one trimesh."""

from dataclasses import dataclass

import numpy as np
import trimesh
from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.TopAbs import TopAbs_REVERSED
from OCP.TopLoc import TopLoc_Location

from solids import faces

ANGLE = 0.5  # radians; OpenCASCADE's own default, given only to reach the argument after it


@dataclass
class Skin:
    mesh: trimesh.Trimesh
    faces: list
    # For each triangle the index of its face.
    face_of: np.ndarray


def skinned(solid, chord):
    """On a copy, so that the caller's solid carries no triangles into a boolean."""
    copy = BRepBuilderAPI_Copy(solid).Shape()
    BRepMesh_IncrementalMesh(copy, chord, False, ANGLE, True)
    corners, triangles, face_of, count = [], [], [], 0
    for i, face in enumerate(faces(copy)):
        nodes, found = face_triangles(face)
        corners.append(nodes)
        triangles.append(found + count)
        count += len(nodes)
        face_of += [i] * len(found)
    mesh = trimesh.Trimesh(np.concatenate(corners), np.concatenate(triangles), process=False)
    mesh.merge_vertices(digits_vertex=7)
    if not mesh.is_watertight:
        raise ValueError("OpenCASCADE's triangles of the solid leave gaps")
    return Skin(mesh, faces(copy), np.array(face_of))


def face_triangles(face):
    place = TopLoc_Location()
    grid = BRep_Tool.Triangulation_s(face, place)
    turn = place.Transformation()
    nodes = [grid.Node(i + 1).Transformed(turn) for i in range(grid.NbNodes())]
    found = np.array([grid.Triangle(i + 1).Get() for i in range(grid.NbTriangles())]) - 1
    if face.Orientation() == TopAbs_REVERSED:
        found = found[:, ::-1]
    return np.array([(node.X(), node.Y(), node.Z()) for node in nodes]), found
