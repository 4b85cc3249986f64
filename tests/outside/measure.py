"""What OpenCASCADE says of a shape: volume, area, validity, face kinds, genus, bounds, distance."""

from math import pi

from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Builder, BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepGProp import BRepGProp
from OCP.gp import gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_SHELL, TopAbs_VERTEX, TopAbs_WIRE
from OCP.TopoDS import TopoDS, TopoDS_Compound

from solids import edges, faces, listed


# Asks for the adaptive integration. The plain one is 5e-8 off where a face is trimmed by a curve
# that is neither line nor circle, as where a recess bites into the rounding.
EXACT = 1e-13


def volume(shape):
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties, EXACT)
    return properties.Mass()


def area(shape):
    properties = GProp_GProps()
    BRepGProp.SurfaceProperties_s(shape, properties, EXACT)
    return properties.Mass()


def off_on_spheres(shape):
    """By how much OpenCASCADE's own area of spherical octants is off, mm²: 1e-7 of it, however finely it is asked to
    integrate, since the pole is an edge without length. The exact area is half pi times the radius squared."""
    spheres = [face for face in faces(shape) if face_kind(face) == "sphere"]
    radii = [BRepAdaptor_Surface(face).Sphere().Radius() for face in spheres]
    return sum(abs(area(face) - pi * r * r / 2) for face, r in zip(spheres, radii, strict=True))


def is_valid(shape):
    return BRepCheck_Analyzer(shape).IsValid()


def face_kind(face):
    return BRepAdaptor_Surface(face).GetType().name.removeprefix("GeomAbs_").lower()


def largest_tolerance(shape):
    """How far OpenCASCADE must stretch vertices and edges to make what it read hang together."""
    corners = [BRep_Tool.Tolerance_s(TopoDS.Vertex(one)) for one in listed(shape, TopAbs_VERTEX)]
    return max(corners + [BRep_Tool.Tolerance_s(edge) for edge in edges(shape)])


def curved_area(shape, drawn=0.0):
    """Or the most that it can become when every curved face moves outwards by up to `drawn`: areas
    go with the radius, on double curved faces with both radii, the smaller counting for either."""
    total = 0.0
    for face in faces(shape):
        if face_kind(face) != "plane":
            powers = 1 if face_kind(face) == "cylinder" else 2
            total += area(face) * (1 + drawn / least_radius(face)) ** powers
    return total


def least_radius(face):
    """Of a cylinder, a torus' tube, or a sphere."""
    surface, kind = BRepAdaptor_Surface(face), face_kind(face)
    if kind == "torus":
        return surface.Torus().MinorRadius()
    return surface.Cylinder().Radius() if kind == "cylinder" else surface.Sphere().Radius()


def genus(shape):
    """Through holes of a one-shell solid from its own topology, by Euler and Poincare:
    V - E + F - (wires beyond one per face) = 2 (shells - genus).
    A seam is an ordinary edge here; an edge collapsed to a pole is none at all."""
    vertices = len(listed(shape, TopAbs_VERTEX))
    real_edges = sum(1 for edge in edges(shape) if not BRep_Tool.Degenerated_s(edge))
    extra_wires = sum(len(listed(face, TopAbs_WIRE)) - 1 for face in faces(shape))
    shells = len(listed(shape, TopAbs_SHELL))
    euler = vertices - real_edges + len(faces(shape)) - extra_wires
    return shells - euler // 2 if euler % 2 == 0 else None


def bounds(shape):
    """The true extent: neither a triangulation nor the shape's tolerances may widen it."""
    limits = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, limits, False, False)
    low, high = limits.CornerMin(), limits.CornerMax()
    return [low.X(), low.Y(), low.Z()], [high.X(), high.Y(), high.Z()]


class Skin:
    """Distance from points to the boundary of a solid. The faces are asked, not the solid:
    OpenCASCADE answers 0 for every point inside a solid."""

    def __init__(self, shape):
        self.faces = compound(faces(shape))

    def distance(self, point):
        vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*map(float, point))).Vertex()
        query = BRepExtrema_DistShapeShape(vertex, self.faces)
        if not query.IsDone():
            raise ValueError("OpenCASCADE found no distance")
        return query.Value()


def compound(shapes):
    builder, whole = BRep_Builder(), TopoDS_Compound()
    builder.MakeCompound(whole)
    for shape in shapes:
        builder.Add(whole, shape)
    return whole
