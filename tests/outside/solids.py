"""Primitives, fillets and booleans over OpenCASCADE: the only vocabulary parts.py is allowed."""

from math import hypot

from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
from OCP.BRepFilletAPI import BRepFilletAPI_MakeFillet
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakePrism
from OCP.GeomAbs import GeomAbs_Plane
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Vec
from OCP.OCP.collections import IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher, List_TopoDS_Shape
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_SOLID
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS

# How far a cutting tool reaches past the face it comes out of, so that no boolean has to
# decide between two coplanar faces where it need not.
OVERSHOOT = 1.0


def listed(shape, kind):
    """The distinct sub-shapes of one kind; a shared edge is met once per face otherwise."""
    found = IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher()
    TopExp.MapShapes_s(shape, kind, found)
    return [found.FindKey(i + 1) for i in range(found.Extent())]


def faces(shape):
    return [TopoDS.Face(one) for one in listed(shape, TopAbs_FACE)]


def edges(shape):
    return [TopoDS.Edge(one) for one in listed(shape, TopAbs_EDGE)]


def solids(shape):
    return [TopoDS.Solid(one) for one in listed(shape, TopAbs_SOLID)]


def only_solid(shape):
    found = solids(shape)
    if len(found) != 1:
        raise ValueError(f"expected one solid, OpenCASCADE made {len(found)}")
    return found[0]


def box(x0, x1, y0, y1, z0, z1):
    return BRepPrimAPI_MakeBox(gp_Pnt(x0, y0, z0), gp_Pnt(x1, y1, z1)).Solid()


def cylinder(x, y, diameter, z0, z1):
    axis = gp_Ax2(gp_Pnt(x, y, z0), gp_Dir(0, 0, 1))
    return BRepPrimAPI_MakeCylinder(axis, diameter / 2, z1 - z0).Solid()


def plate(length, width, corner_radius, z0, z1, centre_x=0.0):
    """A box whose four upright edges have been through the fillet operator; of several radii each has its own."""
    half_l, half_w = length / 2, width / 2
    sharp = box(centre_x - half_l, centre_x + half_l, -half_w, half_w, z0, z1)
    if isinstance(corner_radius, list):
        return own_corners(sharp, corner_radius, centre_x)
    if corner_radius <= 0:
        return sharp
    if corner_radius > min(half_l, half_w) - 1e-9:
        return round_ended(length, width, z0, z1, centre_x)
    return filleted(sharp, [edge for edge in edges(sharp) if is_upright(edge)], corner_radius)


def own_corners(sharp, radii, centre_x):
    """Counter-clockwise from the corner right of the middle and below it."""
    operator = BRepFilletAPI_MakeFillet(sharp)
    for edge in edges(sharp):
        if is_upright(edge):
            right, above = (ends(edge)[0].X() > centre_x, ends(edge)[0].Y() > 0)
            radius = radii[{(True, False): 0, (True, True): 1, (False, True): 2, (False, False): 3}[right, above]]
            if radius > 0:
                operator.Add(radius, edge)
    return only_solid(operator.Shape()) if any(radius > 0 for radius in radii) else sharp


def wider(corner_radius, by):
    """A corner radius, or each of several, larger by so much; none is less than nothing."""
    if isinstance(corner_radius, list):
        return [max(radius + by, 0.0) for radius in corner_radius]
    return corner_radius + by


def slanted(corners, radii, z0, z1):
    """A prism over a convex polygon, counter-clockwise, whose upright edges have been through the fillet operator."""
    outline = BRepBuilderAPI_MakePolygon()
    for x, y in corners:
        outline.Add(gp_Pnt(x, y, z0))
    outline.Close()
    face = BRepBuilderAPI_MakeFace(outline.Wire()).Face()
    sharp = only_solid(BRepPrimAPI_MakePrism(face, gp_Vec(0, 0, z1 - z0)).Shape())
    operator = BRepFilletAPI_MakeFillet(sharp)
    for edge in edges(sharp):
        if is_upright(edge):
            at = ends(edge)[0]
            near = min(range(len(corners)), key=lambda n: hypot(corners[n][0] - at.X(), corners[n][1] - at.Y()))
            if radii[near] > 0:
                operator.Add(radii[near], edge)
    return only_solid(operator.Shape()) if any(radius > 0 for radius in radii) else sharp


def inset(corners, by):
    """A convex polygon, counter-clockwise, with every side so much further in."""
    count = len(corners)
    lines = []
    for n, (x, y) in enumerate(corners):
        u, v = corners[(n + 1) % count][0] - x, corners[(n + 1) % count][1] - y
        out = v / hypot(u, v), -u / hypot(u, v)
        lines.append((*out, x * out[0] + y * out[1] - by))
    return [meeting(lines[n - 1], lines[n]) for n in range(count)]


def meeting(one, other):
    """Where two lines a x + b y = c meet (Cramer's rule)."""
    (a, b, c), (d, e, f) = one, other
    turn = a * e - b * d
    return (c * e - f * b) / turn, (a * f - d * c) / turn


def stepped_body(body, by, z0, z1):
    """A body's outline moved outwards: (length, width, corner radius), or (corners, radii) of one with slanted sides."""
    if len(body) == 2:
        corners, radii = body
        return slanted(inset(corners, -by), wider(radii, by), z0, z1)
    length, width, corner_radius = body
    return plate(length + 2 * by, width + 2 * by, wider(corner_radius, by), z0, z1)


def room_beside(body, x, y):
    """How far a place is from the nearest side of a body."""
    if len(body) == 3:
        return min(body[0] / 2 - abs(x), body[1] / 2 - abs(y))
    pairs = list(zip(body[0], body[0][1:] + body[0][:1]))
    return min(((c - a) * (y - b) - (d - b) * (x - a)) / hypot(c - a, d - b) for (a, b), (c, d) in pairs)


def round_ended(length, width, z0, z1, centre_x):
    """The plate whose corners meet: the fillet operator refuses to use up a whole face."""
    radius = min(length, width) / 2
    dx, dy = length / 2 - radius, width / 2 - radius
    first, second = [cylinder(centre_x + s * dx, s * dy, 2 * radius, z0, z1) for s in (-1, 1)]
    if max(dx, dy) < 1e-9:
        return first
    side_x, side_y = (dx, radius) if dx > 0 else (radius, dy)
    middle = box(centre_x - side_x, centre_x + side_x, -side_y, side_y, z0, z1)
    return only_solid(fuse(middle, [first, second]))


def filleted(shape, chosen, radius):
    operator = BRepFilletAPI_MakeFillet(shape)
    for edge in chosen:
        operator.Add(radius, edge)
    return only_solid(operator.Shape())


def ends(edge):
    curve = BRepAdaptor_Curve(edge)
    return curve.Value(curve.FirstParameter()), curve.Value(curve.LastParameter())


def is_upright(edge):
    first, last = ends(edge)
    return abs(first.Z() - last.Z()) > 1e-6


def lies_at(edge, z):
    """A level edge: a closed circle has both ends in one point, so the middle is looked at too."""
    curve = BRepAdaptor_Curve(edge)
    first, last = curve.FirstParameter(), curve.LastParameter()
    return all(abs(curve.Value(t).Z() - z) < 1e-6 for t in (first, (first + last) / 2, last))


def level_faces(shape, z):
    found = []
    for face in faces(shape):
        surface = BRepAdaptor_Surface(face)
        if surface.GetType() != GeomAbs_Plane:
            continue
        plane = surface.Plane()
        level = abs(plane.Axis().Direction().Z()) > 0.5
        if level and abs(plane.Location().Z() - z) < 1e-6:
            found.append(face)
    return found


def cut(base, tools):
    return boolean(BRepAlgoAPI_Cut, [base], tools)


def fuse(base, tools):
    """Joined and merged: without the merge, coplanar faces stay split along the old borders."""
    return boolean(BRepAlgoAPI_Fuse, [base], tools, merge=True)


def together(shapes):
    return shapes[0] if len(shapes) == 1 else fuse(shapes[0], shapes[1:])


def boolean(operation, arguments, tools, merge=False):
    """One call for all tools: pairwise calls would split every face again and again.
    On all cores, because speed.py sets this against the program."""
    if not tools:
        return arguments[0]
    run = operation()
    run.SetArguments(shape_list(arguments))
    run.SetRunParallel(True)
    run.SetTools(shape_list(tools))
    run.Build()
    if not run.IsDone():
        raise ValueError(f"{operation.__name__} failed")
    if merge:
        run.SimplifyResult()
    return run.Shape()


def shape_list(shapes):
    found = List_TopoDS_Shape()
    for shape in shapes:
        found.Append(shape)
    return found
