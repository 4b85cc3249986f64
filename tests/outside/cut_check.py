"""Flatwork that is cut from sheet: the DXF files as ezdxf reads them, the SVG files as svgelements does, against the plates'
solids as OpenCASCADE reads those, and the cut's width against shapely's buffer.
"""

from math import cos, hypot, pi, sin

import ezdxf
from ezdxf.math import bulge_to_arc
from measure import volume
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepTools import BRepTools, BRepTools_WireExplorer
from OCP.TopAbs import TopAbs_WIRE
from OCP.TopoDS import TopoDS
from report import at_most, broken, equal, relative
from shapely import Point, Polygon, affinity, unary_union
from solids import level_faces, listed, only_solid
from step_file import read_plain
from svgelements import SVG, Circle, Path

EZDXF = "ezdxf 1.4"
STEP = "OpenCASCADE: the plate's STEP solid"
BUFFER = "shapely's buffer of the cut's lines"
SVG_READER = "svgelements"
MANIFEST = "manifest.json as written"

# Of a circle, so that its polygon lacks 1.6e-7 of its area.
STEPS = 4000
EXACT = 1e-9
# mm: ends of arcs, given by their bulges.
SPOT = 1e-8
# mm: what polygons of so many steps leave, of a radius of 10 mm.
POLYGON = 1e-5
# The same in a sharp corner, where all of an arc's circles meet: the root of what an arc's polygon lacks.
CORNER = 1e-4
MM_TO_PX = 96 / 25.4


def check_cuts(folder, manifest):
    checks, cut = [], [part for part in manifest["parts"] if "cut" in part]
    for part in cut:
        try:
            checks += check_plate(folder, part)
        except Exception as error:
            checks.append(broken(part["id"], "cut", error, EZDXF))
    for sheet in manifest.get("sheets", []):
        try:
            checks += check_sheet(folder, sheet, {part["id"]: part for part in cut})
        except Exception as error:
            checks.append(broken(sheet["files"]["dxf"], "sheet", error, EZDXF))
    laid = sorted(part["id"] for sheet in manifest.get("sheets", []) for part in sheet["parts"])
    return checks + [equal("sheets", "plates on them", laid, sorted(part["id"] for part in cut), MANIFEST)] if cut else checks


def check_plate(folder, part):
    name, cut = part["id"], part["cut"]
    drawing = Drawing(folder / cut["files"]["dxf"])
    solid = only_solid(read_plain(folder / part["files"]["step"]).shape)
    plate = polygon_of(solid)
    lines = [loop.polygon for loop in drawing.loops]
    border = max(lines, key=lambda one: one.area)
    # What the cut takes away, and what stays of the sheet inside of it.
    taken = unary_union([one.exterior.buffer(cut["kerf_mm"] / 2, quad_segs=STEPS // 4) for one in lines])
    inner = border.difference(taken)
    left = max(getattr(inner, "geoms", [inner]), key=lambda one: one.area)
    thickness = part["bounds_mm"]["max"][2] - part["bounds_mm"]["min"][2]
    return drawing.checks(name) + svg_checks(folder / cut["files"]["svg"], name, drawing) + [
        equal(name, "holes are cut before the border", lines.index(border), len(lines) - 1, EZDXF),
        equal(name, "holes", len(lines) - 1, part["genus"], STEP),
        at_most(name, "area, relative", relative(cut["area_mm2"], volume(solid) / thickness), EXACT, STEP),
        at_most(name, "thickness, mm off", abs(cut["thickness_mm"] - thickness), EXACT, STEP),
        at_most(name, "length of all cuts, relative", relative(cut["length_mm"], drawing.length), EXACT, EZDXF),
        at_most(name, "what is left by the cut, mm off", plate.exterior.hausdorff_distance(left.exterior), CORNER, BUFFER),
        at_most(name, "what is left, area beside the plate, mm2", plate.symmetric_difference(left).area, POLYGON * drawing.length, BUFFER),
        at_most(name, "scored lines beside the plate, mm", beyond(plate, drawing.marks), 0.0, BUFFER),
    ]


def check_sheet(folder, sheet, parts):
    name = sheet["files"]["dxf"]
    drawing = Drawing(folder / name)
    length, width = sheet["size_mm"]
    wanted = sum(parts[one["id"]]["cut"]["length_mm"] for one in sheet["parts"])
    placed = []
    for one in sheet["parts"]:
        part = parts[one["id"]]
        plate = polygon_of(only_solid(read_plain(folder / part["files"]["step"]).shape))
        turned = affinity.rotate(plate, 90, origin=(0, 0)) if one["turned"] else plate
        moved = affinity.translate(turned, *one["middle_mm"])
        placed.append((moved, moved.buffer(part["cut"]["kerf_mm"])))
    taken = unary_union([grown for _, grown in placed])
    apart = [a.distance(b) for i, (_, a) in enumerate(placed) for _, b in placed[:i]]
    borders = [loop.polygon for loop in drawing.loops]
    # Each plate lies inside of a border, its kerf's half away from it.
    near = [min(abs(plate.exterior.hausdorff_distance(one.exterior) - parts[on["id"]]["cut"]["kerf_mm"] / 2) for one in borders)
            for (plate, _), on in zip(placed, sheet["parts"])]
    box = taken.bounds
    return drawing.checks(name) + svg_checks(folder / sheet["files"]["svg"], name, drawing) + [
        at_most(name, "length of all cuts, relative", relative(drawing.length, wanted), EXACT, EZDXF),
        at_most(name, "beyond the sheet, mm", max(-box[0], -box[1], box[2] - length, box[3] - width), 0.0, BUFFER),
        equal(name, "cuts that touch", any(one <= 0 for one in apart), False, BUFFER),
        at_most(name, "plates off their cuts, mm", max(near), POLYGON, BUFFER),
    ]


class Drawing:
    """A DXF file."""

    def __init__(self, path):
        self.document = ezdxf.readfile(path)
        self.audit = self.document.audit()
        space = self.document.modelspace()
        cut = [one for one in space if one.dxf.layer == "cut"]
        self.others = [one for one in space if one.dxf.layer not in ("cut", "mark")]
        self.marks = [(one.dxf.start, one.dxf.end) for one in space if one.dxf.layer == "mark"]
        self.loops = [Loop(one) for one in cut]
        self.length = sum(loop.length for loop in self.loops)

    def checks(self, name):
        layers = sorted(layer.dxf.name for layer in self.document.layers if layer.dxf.name not in ("0", "Defpoints"))
        return [
            equal(name, "what an audit finds", [str(one.message) for one in self.audit.errors + self.audit.fixes], [], EZDXF),
            equal(name, "unit", self.document.units, ezdxf.units.MM, EZDXF),
            equal(name, "layers", layers, ["cut", "mark"], EZDXF),
            equal(name, "lines of other layers", len(self.others), 0, EZDXF),
            equal(name, "cuts that are not closed", sum(not loop.closed for loop in self.loops), 0, EZDXF),
            at_most(name, "arcs' ends, mm off", max(loop.off for loop in self.loops), SPOT, EZDXF),
        ]


class Loop:
    """A closed line of lines and arcs, or a circle."""

    def __init__(self, entity):
        if entity.dxftype() == "CIRCLE":
            self.closed, self.off, radius = True, 0.0, entity.dxf.radius
            self.length = 2 * pi * radius
            self.polygon = Polygon(arc(entity.dxf.center, radius, 0.0, 2 * pi))
            return
        assert entity.dxftype() == "LWPOLYLINE", entity.dxftype()
        self.closed = entity.closed
        corners = list(entity.get_points("xyb"))
        points, self.length, self.off = [], 0.0, 0.0
        for (x, y, bulge), (to_x, to_y, _) in zip(corners, corners[1:] + corners[:1]):
            points.append((x, y))
            if bulge == 0:
                self.length += hypot(to_x - x, to_y - y)
                continue
            center, first, last, radius = bulge_to_arc((x, y), (to_x, to_y), bulge)
            sweep = (last - first) % (2 * pi)
            self.length += sweep * radius
            along = arc(center, radius, first, sweep) if bulge > 0 else arc(center, radius, first, sweep)[::-1]
            self.off = max(self.off, hypot(along[0][0] - x, along[0][1] - y))
            points += along[1:-1]
        self.polygon = Polygon(points)


def arc(center, radius, first, sweep):
    steps = max(int(STEPS * sweep / (2 * pi)), 8)
    angles = [first + sweep * i / steps for i in range(steps + 1)]
    return [(center[0] + radius * cos(one), center[1] + radius * sin(one)) for one in angles]


def polygon_of(solid):
    """The plate's underside."""
    (face,) = level_faces(solid, 0.0)
    outer = BRepTools.OuterWire_s(face)
    wires = [TopoDS.Wire(one) for one in listed(face, TopAbs_WIRE)]
    return Polygon(ring(outer), [ring(one) for one in wires if not one.IsSame(outer)])


def ring(wire):
    points, explorer = [], BRepTools_WireExplorer(wire)
    while explorer.More():
        edge = explorer.Current()
        curve = BRepAdaptor_Curve(edge)
        first, last = curve.FirstParameter(), curve.LastParameter()
        steps = 1 if curve.GetType().name == "GeomAbs_Line" else STEPS // 2
        along = [curve.Value(first + (last - first) * i / steps) for i in range(steps + 1)]
        along = [(one.X(), one.Y()) for one in along]
        points += along[:-1] if edge.Orientation().name == "TopAbs_FORWARD" else along[:0:-1]
        explorer.Next()
    return points


def beyond(plate, marks):
    ends = [end for mark in marks for end in mark]
    return max((Point(end.x, end.y).distance(plate) for end in ends), default=0.0)


def svg_checks(path, name, drawing):
    read = SVG.parse(path)
    width, height = (float(read.values[side].removesuffix("mm")) for side in ("width", "height"))
    box = [float(one) for one in read.values["viewBox"].split()]
    cut = [one for one in read.elements() if isinstance(one, (Path, Circle)) and one.values.get("id") is None]
    lengths = sorted(length(one) / MM_TO_PX for one in cut if one.values["stroke"] == "black")
    wanted = sorted(loop.length for loop in drawing.loops)
    return [
        equal(name, "a unit of the drawing is a millimetre", [box[2], box[3]], [width, height], SVG_READER),
        equal(name, "lines of the layer cut", len(lengths), len(wanted), SVG_READER),
        at_most(name, "their lengths, relative", max(map(relative, lengths, wanted)), 1e-6, SVG_READER),
    ]


def length(element):
    if isinstance(element, Circle):
        return 2 * pi * element.implicit_r if hasattr(element, "implicit_r") else 2 * pi * element.rx
    return Path(element).reify().length()
