"""Simulated calipers: between walls and across holes of a level section. Axis 0 is x."""

from math import hypot

from shapely.geometry import LineString

from sections import round_holes

FAR = 1e3  # mm; beyond every part


def crossed(area, axis, at):
    """Where a line along an axis meets material: from and to, in order."""
    ends = [(-FAR, at), (FAR, at)] if axis == 0 else [(at, -FAR), (at, FAR)]
    met = area.intersection(LineString(ends))
    lines = list(met.geoms) if hasattr(met, "geoms") else [met]
    return sorted(sorted(point[axis] for point in (line.coords[0], line.coords[-1])) for line in lines)


def extent(axis):
    """Between the outermost walls."""
    return lambda area: area.bounds[axis + 2] - area.bounds[axis]


def across(axis, at):
    """Over everything that a line meets."""
    return lambda area: crossed(area, axis, at)[-1][1] - crossed(area, axis, at)[0][0]


def between(axis, at):
    """Between the first and the last piece of material that a line meets."""
    return lambda area: crossed(area, axis, at)[-1][0] - crossed(area, axis, at)[0][1]


def thickness(axis, at, which):
    """Of one piece of material: 0 the first, -1 the last."""
    return lambda area: crossed(area, axis, at)[which][1] - crossed(area, axis, at)[which][0]


def hole_at(area, place):
    def away(one):
        return hypot(one.x - place[0], one.y - place[1])

    found = min(round_holes(area), key=away)
    if away(found) > found.diameter / 2:
        raise ValueError(f"no round hole at {place[0]:.2f}, {place[1]:.2f}")
    return found


def diameter(place):
    return lambda area: hole_at(area, place).diameter


def astray(place):
    """How far a hole's middle is from its place."""

    def take(area):
        found = hole_at(area, place)
        return hypot(found.x - place[0], found.y - place[1])

    return take


def apart(first, second):
    """Between the middles of two holes."""

    def take(area):
        a, b = hole_at(area, first), hole_at(area, second)
        return hypot(a.x - b.x, a.y - b.y)

    return take
