"""Every part once more from the manifest's `dimensions`, of facets with manifold3d alone, for speed.py to time.

manifold3d knows no cylinders and tori: outlines are polygons from the start, and its booleans work on triangles. So
solids and tessellation are one stage here, at the manifest's chord tolerance. Frame of a part: as in parts.py.
"""

from math import acos, ceil, cos, pi, sin

import numpy as np
from manifold3d import CrossSection, JoinType, Manifold, Mesh, OpType

OVERSHOOT = 1.0


class Facets:
    """Outlines and upright prisms whose circles stray from round by no more than `chord`."""

    def __init__(self, chord):
        self.chord = chord

    def segments(self, radius, chord=None):
        """A multiple of four, so that a quarter is a whole number of steps."""
        angle = 2 * acos(1 - min((chord or self.chord) / radius, 1.0))
        return 4 * ceil(pi / 2 / angle)

    def disc(self, x, y, diameter):
        radius = diameter / 2
        return CrossSection.circle(radius, self.segments(radius)).translate((x, y))

    def stepped(self, outline, distance):
        if distance == 0:
            return outline
        return outline.offset(distance, JoinType.Round, 2.0, self.segments(abs(distance)))

    def plate(self, length, width, corner_radius, centre_x=0.0, chord=None):
        radius = max(min(corner_radius, length / 2, width / 2), 0.0)
        sides = length - 2 * radius, width - 2 * radius
        if radius == 0:
            return CrossSection.square(sides, True).translate((centre_x, 0))
        round_corner = CrossSection.circle(radius, self.segments(radius, chord))
        places = [(centre_x + x * sides[0] / 2, y * sides[1] / 2) for x in (-1, 1) for y in (-1, 1)]
        return CrossSection.batch_hull([round_corner.translate(place) for place in places])

    def hollow(self, d, wall, inner_radius, inset=0.0):
        """As in outlines.py, which says why."""
        fillet = max(inner_radius - inset, 0.0)
        step = wall + inset + fillet
        air = self.plate(d["length"] - 2 * step, d["width"] - 2 * step, d["corner_radius"] - step)
        if d["mounting"]["kind"] == "bosses":
            air -= screws(self, d, d["mounting"]["boss_diameter"] + 2 * inset + 2 * fillet)
        return self.stepped(air, fillet)

    def eared(self, d):
        ears, blend = d["mounting"], d["mounting"]["blend"]
        grown = self.plate(d["length"] + 2 * blend, d["width"] + 2 * blend, d["corner_radius"] + blend)
        reach, across = d["length"] + 2 * (ears["ear_length"] + blend), ears["ear_width"] + 2 * blend
        return self.stepped(grown + self.plate(reach, across, ears["ear_corner_radius"] + blend), -blend)

    def rounded(self, d):
        """The body with its top edge rounded: the hull of its outlines, level by level."""
        radius, height = d["rounding"], d["height"]
        if radius <= 0:
            return raised(self.plate(d["length"], d["width"], d["corner_radius"]), 0, height)
        # A band bends both ways, and both sagittas add up.
        steps = self.segments(radius, self.chord / 2) // 4
        along = self.chord - radius * (1 - cos(pi / 4 / steps))
        points = [(0.0, 0.0)]
        for i in range(steps + 1):
            turn = pi / 2 * i / steps
            points.append((radius * (1 - cos(turn)), height - radius + radius * sin(turn)))
        rings = []
        for inset, z in points:
            size = d["length"] - 2 * inset, d["width"] - 2 * inset, d["corner_radius"] - inset
            flat = self.plate(*size, chord=along).to_polygons()[0]
            rings.append(np.column_stack([flat, np.full(len(flat), z)]))
        return Manifold.hull_points(np.concatenate(rings))


def raised(outline, z0, z1):
    return outline.extrude(z1 - z0).translate((0, 0, z0))


def screws(f, d, diameter):
    first, second = [f.disc(x, y, diameter) for x, y in d["screws"]]
    return first + second


def holes(f, centres, diameter):
    return CrossSection.batch_boolean([f.disc(x, y, diameter) for x, y in centres], OpType.Add)


def block(d, z0, z1):
    size = (d["x1"] - d["x0"], d["y1"] - d["y0"], z1 - z0)
    return Manifold.cube(size).translate((d["x0"], d["y0"], z0))


def less(base, tools):
    return Manifold.batch_boolean([base, *tools], OpType.Subtract)


def cover(f, d):
    height, ceiling, mounting = d["height"], d["height"] - d["roof"], d["mounting"]
    shell = f.rounded(d)
    if mounting["kind"] == "ears":
        shell += raised(f.eared(d), 0, mounting["ear_thickness"])
    tools = [raised(f.hollow(d, d["wall"], d["inner_radius"]), -OVERSHOOT, ceiling)]
    tools.append(raised(screws(f, d, d["screw_hole"]), -OVERSHOOT, height + OVERSHOOT))
    if d["pole_holes"]:
        tools.append(raised(holes(f, d["pole_holes"], d["pole_hole"]), ceiling, height + OVERSHOOT))
    tools.append(block(d["lead_out"], -OVERSHOOT, d["lead_out"]["height"]))
    if mounting["kind"] == "bosses":
        recess = screws(f, d, mounting["recess_diameter"])
        tools.append(raised(recess, height - mounting["recess_depth"], height + OVERSHOOT))
    return less(shell, tools)


def baseplate(f, d):
    thickness = top = d["thickness"]
    ears = d["mounting"]["kind"] == "ears"
    outline = f.eared(d) if ears else f.plate(d["length"], d["width"], d["corner_radius"])
    base = raised(outline, 0, thickness)
    if d["lip"]:
        measures = d["lip"]
        top += measures["height"]
        hole = d, measures["cover_wall"], measures["cover_inner_radius"]
        ring = f.hollow(*hole, measures["gap"]) - f.hollow(*hole, measures["gap"] + measures["wall"])
        base += raised(ring, thickness, top)
    tools = [raised(screws(f, d, d["screw_hole"]), -OVERSHOOT, top + OVERSHOOT)]
    if d["lead_out"]:
        tools.append(block(d["lead_out"], -OVERSHOOT, top + OVERSHOOT))
    if d.get("lip_opening"):
        tools.append(block(d["lip_opening"], thickness, top + OVERSHOOT))
    return less(base, tools)


def flatwork_bottom(f, d):
    outline = flat(f, d) - holes(f, d["eyelet_holes"], d["eyelet_hole"])
    for waist in d["waists"]:
        outline -= f.disc(waist["x"], waist["y"], 2 * waist["radius"])
    return raised(outline, 0, d["thickness"])


def flatwork_top(f, d):
    mark = d["mark"]
    return raised(flat(f, d) - f.disc(mark["x"], mark["y"], 2 * mark["radius"]), 0, d["thickness"])


def flat(f, d):
    plate = f.plate(d["length"], d["width"], d["corner_radius"], d["centre_x"])
    return plate - holes(f, d["pole_holes"], d["pole_hole"])


BUILDERS = {
    "cover": cover,
    "baseplate": baseplate,
    "flatwork-bottom": flatwork_bottom,
    "flatwork-top": flatwork_top,
}


def stages(manifest, out):
    """Building and writing all parts, as functions to be called in this order."""
    solids = {}

    def build_all():
        solids.update({part["id"]: build(part, manifest["chord_tolerance_mm"]) for part in manifest["parts"]})

    def stl():
        for part in manifest["parts"]:
            write_stl(solids[part["id"]], out / part["files"]["stl"])

    return {"solids": build_all, "STL": stl}


def build(part, chord):
    """The triangles of one entry of the manifest's `parts`. Booleans wait until something is asked: so ask."""
    solid = BUILDERS[part["part"]](Facets(chord), part["dimensions"])
    solid.num_tri()
    return solid


def write_stl(solid, path):
    """Binary, as the program writes it."""
    mesh: Mesh = solid.to_mesh()
    corners = mesh.vert_properties[:, :3][mesh.tri_verts].astype("<f4")
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normals /= np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-30)
    records = np.zeros(len(corners), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("_", "<u2")])
    records["normal"], records["corners"] = normals, corners
    path.write_bytes(bytes(80) + len(corners).to_bytes(4, "little") + records.tobytes())
