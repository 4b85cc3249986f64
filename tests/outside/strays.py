"""How far OpenCASCADE's triangles stray from the faces that they stand for. Measured, not taken from what
was asked of BRepMesh, which mostly does better."""

import numpy as np
from OCP.BRepAdaptor import BRepAdaptor_Surface

from measure import face_kind


def strays(skin):
    """For each triangle of a solid_mesh.Skin. Its corners lie on the face; a facet strays farthest
    at its middle or at the middle of an edge."""
    corners = skin.mesh.triangles.view(np.ndarray)
    places = np.stack([corners.mean(axis=1), *[(corners[:, i] + corners[:, i - 1]) / 2 for i in range(3)]])
    found = np.zeros(len(corners))
    for i, face in enumerate(skin.faces):
        chosen = skin.face_of == i
        found[chosen] = off_surface(face, places[:, chosen]).max(axis=0)
    return found


def off_surface(face, places):
    surface, kind = BRepAdaptor_Surface(face), face_kind(face)
    if kind == "plane":
        return np.zeros(places.shape[:-1])
    if kind == "sphere":
        ball = surface.Sphere()
        return np.abs(np.linalg.norm(places - vector(ball.Location()), axis=-1) - ball.Radius())
    if kind == "cylinder":
        tube = surface.Cylinder()
        return np.abs(about(tube.Axis(), places)[0] - tube.Radius())
    if kind == "torus":
        ring = surface.Torus()
        out, along = about(ring.Axis(), places)
        return np.abs(np.hypot(out - ring.MajorRadius(), along) - ring.MinorRadius())
    raise ValueError(f"no distance is known from a face of kind {kind}")


def about(axis, places):
    """Distance from an axis, and along it from its origin."""
    from_origin = places - vector(axis.Location())
    along = from_origin @ vector(axis.Direction())
    return np.sqrt(np.maximum((from_origin**2).sum(axis=-1) - along**2, 0)), along


def vector(of):
    return np.array([of.X(), of.Y(), of.Z()])
