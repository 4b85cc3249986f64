"""Points to measure at: on OpenCASCADE's faces, and on the triangles of a mesh."""

from math import dist

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.TopAbs import TopAbs_VERTEX
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS
from trimesh.triangles import closest_point

from measure import bounds
from solids import faces, listed

# The same points every time: a failure must be there again when it is looked into.
SEED = 7


def some(rows, count):
    if len(rows) <= count:
        return rows
    return rows[np.random.default_rng(SEED).choice(len(rows), count, replace=False)]


# Of the shape's diagonal: 0.005 mm on a part of 100 mm. Not in mm, because a file in the wrong
# unit reads as a part of 100 m, which would be meshed for hours instead of being turned down.
FINENESS = 5e-5


def skin_points(shape, count):
    """Every corner of the shape, because a small notch has corners and little else, and nodes of
    OpenCASCADE's own triangulation; they lie on its exact faces and edges. Meshed on a copy, so
    that the caller's shape carries no triangulation into a boolean."""
    copy = BRepBuilderAPI_Copy(shape).Shape()
    BRepMesh_IncrementalMesh(copy, FINENESS * dist(*bounds(shape)))
    found = []
    for face in faces(copy):
        place = TopLoc_Location()
        grid = BRep_Tool.Triangulation_s(face, place)
        for i in range(grid.NbNodes()):
            node = grid.Node(i + 1).Transformed(place.Transformation())
            found.append((node.X(), node.Y(), node.Z()))
    places = [BRep_Tool.Pnt_s(TopoDS.Vertex(one)) for one in listed(shape, TopAbs_VERTEX)]
    corners = np.array([(place.X(), place.Y(), place.Z()) for place in places])
    return np.concatenate([corners, some(np.unique(np.array(found), axis=0), count)])


def chord_points(mesh, count):
    """Where a facet strays farthest from what it stands for: its middle and the middles of its
    edges. Three in four facets are taken from curved faces, known by a slight bend to a neighbour."""
    bend = np.degrees(mesh.face_adjacency_angles)
    curved = np.unique(mesh.face_adjacency[(bend > 0.05) & (bend < 45)])
    facets = count // 4
    chosen = np.concatenate([some(curved, facets * 3 // 4), some(np.arange(len(mesh.faces)), facets // 4)])
    corners = mesh.triangles[np.unique(chosen).astype(int)]
    middles = [(corners[:, i] + corners[:, (i + 1) % 3]) / 2 for i in range(3)]
    return np.concatenate([corners.mean(axis=1), *middles])


def farthest_from_mesh(points, mesh, reach):
    """The largest distance from any point to the mesh. Triangles are sieved by box first."""
    low, high = mesh.triangles.min(axis=1) - reach, mesh.triangles.max(axis=1) + reach
    worst = 0.0
    for point in points:
        near = np.flatnonzero(((low <= point) & (point <= high)).all(axis=1))
        if len(near) == 0:
            near = np.arange(len(mesh.triangles))
        spots = closest_point(mesh.triangles[near], np.tile(point, (len(near), 1)))
        worst = max(worst, float(np.linalg.norm(spots - point, axis=1).min()))
    return worst
