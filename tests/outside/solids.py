"""Primitives, fillets and booleans over OpenCASCADE: the only vocabulary parts.py is allowed."""

from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepFilletAPI import BRepFilletAPI_MakeFillet
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCylinder
from OCP.GeomAbs import GeomAbs_Plane
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
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
