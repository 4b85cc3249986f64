"""Plan outlines that need more than a rounded rectangle, as upright prisms.

An outline "opened" by r is what a disc of radius r can reach from inside: step inwards by r,
then outwards by r. The first step is exact with booleans alone (a rectangle inset by r, the
obstacles grown by r). The second is OpenCASCADE's offset operator with arc joins. The upright
fillet operator would do the common case too, but it has no edge to work on where a boss stands
closer to a wall than two radii without touching it, and it only approximates the roll where a
fillet runs into a rounded corner (1e-4 mm2 off on a narrow outline). test_parts.py holds the two
against each other where both apply.
"""

import math

from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeWire, BRepBuilderAPI_Transform
from OCP.BRepOffsetAPI import BRepOffsetAPI_MakeOffset
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.GeomAbs import GeomAbs_Arc, GeomAbs_Circle, GeomAbs_Line
from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec
from OCP.TopAbs import TopAbs_WIRE
from OCP.TopoDS import TopoDS

from measure import area, volume
from solids import cut, cylinder, edges, fuse, level_faces, listed, plate, room_beside, shape_list, solids, stepped_body, together

# Prisms are drawn on z 0..1 and moved afterwards: an outline has no height of its own.
LOW, HIGH = 0.0, 1.0


def hollow(body, wall, inner_radius, bosses, inset, z0, z1):
    """The air inside a cover, all its borders stepped inwards by `inset`.

    `body` is (length, width, corner_radius), or (corners, radii) where sides are slanted; `bosses` is (diameter, centres) or None.
    Stepping in grows the bosses and shrinks the fillets, which end at sharp.
    """
    fillet = max(inner_radius - inset, 0.0)
    step = wall + inset + fillet
    air = stepped_body(body, -step, LOW, HIGH)
    if not bosses:
        return raised(stepped(air, fillet), z0, z1)
    diameter, centres = bosses[0] + 2 * inset, bosses[1]
    room = min(room_beside(body, x, y) for x, y in centres) - wall - inset
    if diameter / 2 + 2 * fillet <= room + 1e-9:
        # Nothing to fill around a boss the disc can pass on every side, and where it only just
        # passes the offset operator would stumble over the point of contact.
        return cut(raised(stepped(air, fillet), z0, z1), columns(diameter, centres, z0, z1))
    air = cut(air, columns(diameter + 2 * fillet, centres, LOW, HIGH))
    return without_pockets(raised(stepped(air, fillet), z0, z1))


def without_pockets(air):
    """What a boss cuts off in a corner is filled with it: nothing goes there."""
    rooms = sorted(solids(air), key=volume)
    largest = volume(rooms[-1])
    return together([room for room in rooms if volume(room) > 0.02 * largest])


def columns(diameter, centres, z0, z1):
    return [cylinder(x, y, diameter, z0 - 1, z1 + 1) for x, y in centres]


def eared(body, ears, z0, z1):
    """Body and tabs as one outline, the concave corners between them filled by `blend`.

    The mirror image of `hollow`: grow both by the blend radius, join, step back inwards.
    """
    blend = ears["blend"]
    grown = stepped_body(body, blend, LOW, HIGH)
    tabs = [tab(ears, place) for place in ears["ears"]]
    return raised(stepped(fuse(grown, tabs), -blend), z0, z1)


def tab(ears, place):
    """One ear grown by the blend, from the body's middle outwards and moved along its side."""
    blend, (out_x, out_y), offset = ears["blend"], place["towards"], place["offset"]
    # Twice its reach, so that the half towards the middle has its corners outside of nothing.
    deep, across = place["reach"] + blend, ears["ear_width"] + 2 * blend
    is_end = abs(out_x) > abs(out_y)
    size = (deep, across) if is_end else (across, deep)
    upright = plate(*size, ears["ear_corner_radius"] + blend, LOW, HIGH)
    half = place["reach"] / 2 - blend / 2 + blend
    # Along its side: upwards or to the right. One that stands askew is turned from there.
    side = 1 if (out_x if is_end else out_y) > 0 else -1
    along = (-side * out_y, side * out_x) if is_end else (side * out_y, -side * out_x)
    turn = math.atan2(along[1], along[0]) - (math.pi / 2 if is_end else 0.0)
    return moved(turned(upright, turn), out_x * half + along[0] * offset, out_y * half + along[1] * offset)


def turned(prism, angle):
    if angle == 0:
        return prism
    turn = gp_Trsf()
    turn.SetRotation(gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1)), angle)
    return BRepBuilderAPI_Transform(prism, turn, True).Shape()


def moved(prism, x, y):
    move = gp_Trsf()
    move.SetTranslation(gp_Vec(x, y, 0))
    return BRepBuilderAPI_Transform(prism, move, True).Shape()


def stepped(prism, distance):
    """The prism over the offset outline; the outline may have islands and may fall in parts."""
    if distance == 0:
        return prism
    grown = [stepped_face(face, distance) for face in level_faces(prism, LOW)]
    return together(grown)


def stepped_face(face, distance):
    operator = BRepOffsetAPI_MakeOffset(face, GeomAbs_Arc, False)
    operator.Perform(distance)
    wires = [TopoDS.Wire(one) for one in listed(operator.Shape(), TopAbs_WIRE)]
    flat = sorted((filled(wire) for wire in wires), key=area)
    prisms = [BRepPrimAPI_MakePrism(one, gp_Vec(0, 0, HIGH - LOW)).Shape() for one in flat]
    return cut(prisms[-1], prisms[:-1])


def filled(wire):
    """The inside of a wire, drawn anew: around a free-standing island the operator leaves a
    vertex whose tolerance is as large as the part, and every later boolean believes it."""
    pencil = BRepBuilderAPI_MakeWire()
    pencil.Add(shape_list(redrawn(edge) for edge in edges(wire)))
    return BRepBuilderAPI_MakeFace(pencil.Wire(), True).Face()


def redrawn(edge):
    curve = BRepAdaptor_Curve(edge)
    first, last = curve.FirstParameter(), curve.LastParameter()
    if curve.GetType() == GeomAbs_Line:
        return BRepBuilderAPI_MakeEdge(curve.Line(), first, last).Edge()
    if curve.GetType() == GeomAbs_Circle:
        return BRepBuilderAPI_MakeEdge(curve.Circle(), first, last).Edge()
    raise ValueError(f"an offset outline holds a {curve.GetType().name}")


def raised(prism, z0, z1):
    """The same outline on z0..z1, swept anew because scaling would spoil its circles."""
    move = gp_Trsf()
    move.SetTranslation(gp_Vec(0, 0, z0 - LOW))
    found = []
    for face in level_faces(prism, LOW):
        moved = BRepBuilderAPI_Transform(face, move, True).Shape()
        found.append(BRepPrimAPI_MakePrism(moved, gp_Vec(0, 0, z1 - z0)).Shape())
    return together(found)
