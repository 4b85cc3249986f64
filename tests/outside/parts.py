"""Every part built a second time from the manifest's `dimensions`, with OpenCASCADE alone.

Nothing here reads a file the program wrote. Frame of a part: z up, z = 0 its underside, the
plan centre of the body outline at the origin, the bass end at -x.
"""

import math

from outlines import eared, hollow
from solids import OVERSHOOT, box, cut, cylinder, edges, filleted, fuse, lies_at, only_solid, plate, stepped_body


def build(part):
    """The solid for one entry of the manifest's `parts`."""
    return BUILDERS[part["part"]](part["dimensions"])


def unknown(part):
    """Dimensions nobody taught this file: a solid built without them proves nothing."""
    return sorted(set(part["dimensions"]) - DIMENSIONS[part["part"]])


def body_of(d):
    if d.get("sides"):
        radii = d["corner_radius"]
        return [tuple(corner) for corner in d["sides"]], radii if isinstance(radii, list) else [radii] * 4
    return d["length"], d["width"], d["corner_radius"]


def bosses_of(d):
    mounting = d["mounting"]
    if mounting["kind"] != "bosses":
        return None
    return mounting["boss_diameter"], d["screws"]


def cover(d):
    height, ceiling = d["height"], d["height"] - d["roof"]
    shell = rounded_body(d)
    if d["mounting"]["kind"] == "ears":
        shell = fuse(shell, [eared(body_of(d), d["mounting"], 0, d["mounting"]["ear_thickness"])])
    air = hollow(body_of(d), d["wall"], d["inner_radius"], bosses_of(d), 0, -OVERSHOOT, ceiling)
    tools = [air, *screw_holes(d, height)]
    tools += holes(d["pole_holes"], d["pole_hole"], ceiling, height + OVERSHOOT)
    tools.append(lead_out(d["lead_out"], d["lead_out"]["height"]))
    if d["mounting"]["kind"] == "bosses":
        low = height - d["mounting"]["recess_depth"]
        tools += screw_row(d, d["mounting"]["recess_diameter"], low, height + OVERSHOOT)
    return only_solid(cut(shell, tools))


def rounded_body(d):
    """Rounded before anything is cut: later the top edge is no longer one closed loop."""
    body = stepped_body(body_of(d), 0, 0, d["height"])
    if d["rounding"] <= 0:
        return body
    radii = d["corner_radius"]
    if d["rounding"] > (min(radii) if isinstance(radii, list) else radii):
        raise ValueError("a rounding larger than the corner radius leaves no torus to compare with")
    rim = [edge for edge in edges(body) if lies_at(edge, d["height"])]
    return filleted(body, rim, d["rounding"])


def baseplate(d):
    thickness, mounting = d["thickness"], d["mounting"]
    if mounting["kind"] == "ears":
        base = eared(body_of(d), mounting, 0, thickness)
    else:
        base = stepped_body(body_of(d), 0, 0, thickness)
    top = thickness
    if d["lip"]:
        top += d["lip"]["height"]
        base = fuse(base, [lip(d, thickness, top)])
    tools = screw_holes(d, top)
    if d["lead_out"]:
        tools.append(lead_out(d["lead_out"], top + OVERSHOOT))
    if d.get("lip_opening"):
        tools.append(lead_out(d["lip_opening"], top + OVERSHOOT, thickness))
    return only_solid(cut(base, tools))


def lip(d, z0, z1):
    """What lies between the cover's hollow stepped in by `gap` and by `gap + wall`."""
    measures = d["lip"]
    hole = (body_of(d), measures["cover_wall"], measures["cover_inner_radius"], bosses_of(d))
    outer = hollow(*hole, measures["gap"], z0, z1)
    inner = hollow(*hole, measures["gap"] + measures["wall"], z0 - OVERSHOOT, z1 + OVERSHOOT)
    return cut(outer, [inner])


def flatwork_bottom(d):
    top = d["thickness"] + OVERSHOOT
    tools = holes(d["pole_holes"], d["pole_hole"], -OVERSHOOT, top)
    tools += holes(d["eyelet_holes"], d["eyelet_hole"], -OVERSHOOT, top)
    tools += [disc(waist, top) for waist in d["waists"]]
    return only_solid(cut(flat(d), tools))


def flatwork_top(d):
    top = d["thickness"] + OVERSHOOT
    tools = holes(d["pole_holes"], d["pole_hole"], -OVERSHOOT, top)
    tools.append(disc(d["mark"], top))
    return only_solid(cut(flat(d), tools))


def flat(d):
    whole = plate(*body_of(d), 0, d["thickness"], d["centre_x"])
    return cut(whole, [piece for relief in d["reliefs"] for piece in cut_out(d, relief)])


def cut_out(d, relief):
    """Round a boss and out over the edge on its side of the row; in a corner both ways."""
    x, y, radius = relief["x"], relief["y"], relief["radius"]
    low, high = -OVERSHOOT, d["thickness"] + OVERSHOOT
    side = 1 if relief["to_neck"] else -1
    far_y = side * (max(side * y, d["width"] / 2) + 1)
    pieces = [cylinder(x, y, 2 * radius, low, high), block(x - radius, x + radius, y, far_y, low, high)]
    if relief["corner"]:
        far_x = math.copysign(max(abs(x), d["length"] / 2) + 1, x)
        pieces.append(block(x, far_x, y - side * radius, far_y, low, high))
    return pieces


def block(x0, x1, y0, y1, low, high):
    return box(min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1), low, high)


def disc(d, top):
    return cylinder(d["x"], d["y"], 2 * d["radius"], -OVERSHOOT, top)


def holes(centres, diameter, z0, z1):
    return [cylinder(x, y, diameter, z0, z1) for x, y in centres]


def screw_holes(d, top):
    return screw_row(d, d["screw_hole"], -OVERSHOOT, top + OVERSHOOT)


def screw_row(d, diameter, z0, z1):
    return holes(d["screws"], diameter, z0, z1)


def lead_out(d, top, low=-OVERSHOOT):
    return box(d["x0"], d["x1"], d["y0"], d["y1"], low, top)


BUILDERS = {
    "cover": cover,
    "baseplate": baseplate,
    "flatwork-bottom": flatwork_bottom,
    "flatwork-top": flatwork_top,
}

BODY = {"length", "width", "corner_radius"}
HOUSING = BODY | {"sides", "screw_hole", "screws", "mounting", "lead_out"}
FLAT = BODY | {"centre_x", "thickness", "pole_hole", "pole_holes", "reliefs"}
DIMENSIONS = {
    "cover": HOUSING | {"height", "rounding", "wall", "roof", "inner_radius", "pole_holes", "pole_hole"},
    "baseplate": HOUSING | {"thickness", "lip", "lip_opening"},
    "flatwork-bottom": FLAT | {"eyelet_hole", "eyelet_holes", "waists"},
    "flatwork-top": FLAT | {"mark"},
}
