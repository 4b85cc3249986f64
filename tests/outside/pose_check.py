"""Where a cover lies best in a crooked body, by a search of its own over true rotations, against what the program leaves it.

A body's sides are parabolas through three places, its corners arcs; the cover is a rounded rectangle with holes, which
must stay inside while the screws have as much play in the holes as can be. Linear programmes (scipy's HiGHS) lead to that
place: true rooms and distances at the last place, which turns the cover as far as it is turned, with their slopes by
differences; 401 places on each side, and a screw's distance as its parts in directions of which more are added where the
last place has it.

OpenCASCADE then moves places of some covers' sides to the place that the program names and looks how far it is from there to
the rout's sides, as curves, in the direction in which the side faces: that is what the program says is left there.
"""

import json
import sys

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.Geom import Geom_BezierCurve
from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec
from OCP.OCP.collections import Array1_gp_Pnt
from scipy.optimize import linprog

PLACES = np.linspace(-1.0, 1.0, 401)
ROUND = [(np.cos(a), np.sin(a)) for a in np.linspace(0, 2 * np.pi, 16, endpoint=False)]
SIDES = ("treble", "bass", "neck", "bridge")
FAR = 1.0
SAME = 1e-4


def parabola(values, at):
    begin, middle, end = values
    return middle + (end - begin) / 2 * at + ((begin + end) / 2 - middle) * at**2


class Body:
    def __init__(self, told):
        self.told = told
        self.long, self.wide, self.arc = told["rout"]
        length, width, self.radius = told["cover"]
        x, y = length / 2, width / 2
        self.straight = {
            "treble": np.stack([np.full_like(PLACES, x), PLACES * (y - self.radius)]),
            "bass": np.stack([np.full_like(PLACES, -x), PLACES * (y - self.radius)]),
            "neck": np.stack([PLACES * (x - self.radius), np.full_like(PLACES, y)]),
            "bridge": np.stack([PLACES * (x - self.radius), np.full_like(PLACES, -y)]),
        }
        self.corners = [
            (np.array([u * (x - self.radius), v * (y - self.radius)]), self.corner(u, v, x, y), np.array([u, v]))
            for u in (1, -1)
            for v in (1, -1)
        ]

    def reach(self, side, at):
        return parabola(self.told["sides"][side], at)

    def corner(self, u, v, x, y):
        """The middle of the rout's arc beside a corner of the cover."""
        end = self.reach("treble" if u > 0 else "bass", v * 2 * (y - self.radius) / self.wide)
        side = self.reach("neck" if v > 0 else "bridge", u * 2 * (x - self.radius) / self.long)
        return np.array([u * (end - self.arc), v * (side - self.arc)])

    def beside(self, side, pose, places):
        """What is left beside places of a side."""
        dx, dy, turn = pose
        sine, cosine = np.sin(turn), np.cos(turn)
        turned = np.array([[cosine, -sine], [sine, cosine]])
        x, y = turned @ self.straight[side][:, places] + [[dx], [dy]]
        if side in ("treble", "bass"):
            return self.reach(side, 2 * y / self.wide) - (x if side == "treble" else -x)
        return self.reach(side, 2 * x / self.long) - (y if side == "neck" else -y)

    def in_corners(self, pose):
        more = self.arc - self.radius
        if more <= 0:
            return np.array([FAR])
        dx, dy, turn = pose
        sine, cosine = np.sin(turn), np.cos(turn)
        left = []
        for (px, py), middle, quarter in self.corners:
            off = (np.array([cosine * px - sine * py + dx, sine * px + cosine * py + dy]) - middle) * quarter
            left.append(FAR if off.min() <= 0 else more - np.hypot(*off))
        return np.array(left)

    def room(self, pose):
        sides = [self.beside(side, pose, slice(None)) for side in SIDES]
        return np.concatenate([*sides, self.in_corners(pose)])

    def off(self, pose):
        """Where each screw is from the middle of its hole."""
        dx, dy, turn = pose
        sine, cosine = np.sin(turn), np.cos(turn)
        turned = np.array([[cosine, -sine], [sine, cosine]])
        return np.array(self.told["screws"]) - ((turned @ np.array(self.told["holes"]).T).T + [dx, dy])

    def play(self, pose):
        return (np.array(self.told["plays"]) - np.hypot(*self.off(pose).T)).min()

    def best(self):
        """The largest play of all screws where the cover is inside, by turns in fiftieths of a radian; none where none is found."""
        pose = lambda p: np.array([p[0], p[1], p[2] / 50])
        plays = np.array(self.told["plays"])
        at, directions = np.zeros(3), [list(ROUND) for _ in plays]
        best = None
        for _ in range(20):
            room, off = self.room(pose(at)), self.off(pose(at))
            steps = [at + 1e-6 * np.eye(3)[i] for i in range(3)]
            slopes = np.stack([(self.room(pose(s)) - room) / 1e-6 for s in steps], axis=1)
            moves = np.stack([(self.off(pose(s)) - off) / 1e-6 for s in steps], axis=2)
            rows, limits = [*np.hstack([-slopes, np.zeros((len(room), 1))])], [*room]
            for screw, play in enumerate(plays):
                far = np.hypot(*off[screw])
                if far > 1e-9:
                    directions[screw].append(off[screw] / far)
                for towards in directions[screw]:
                    rows.append([*(towards @ moves[screw]), 1.0])
                    limits.append(play - towards @ off[screw])
            bounds = [(-0.5, 0.5)] * 3 + [(None, None)]
            answer = linprog([0, 0, 0, -1], A_ub=np.array(rows), b_ub=np.array(limits), bounds=bounds, method="highs")
            if answer.status != 0:
                return None
            at = at + answer.x[:3]
            if self.room(pose(at)).min() > -1e-6 and (best is None or self.play(pose(at)) > best):
                best = self.play(pose(at))
            if np.abs(answer.x[:3]).max() < 1e-8:
                break
        return best


def curve(told, side):
    """A side of the rout: the parabola as a Bezier curve of the second degree."""
    begin, middle, end = told["sides"][side]
    long, wide, _ = told["rout"]
    poles = Array1_gp_Pnt(1, 3)
    for number, (at, out) in enumerate(((-1, begin), (0, 2 * middle - (begin + end) / 2), (1, end)), 1):
        if side in ("treble", "bass"):
            point = (out if side == "treble" else -out, at * wide / 2)
        else:
            point = (at * long / 2, out if side == "neck" else -out)
        poles.SetValue(number, gp_Pnt(*point, 0))
    return BRepBuilderAPI_MakeEdge(Geom_BezierCurve(poles)).Edge()


def distances(told):
    """By how much what is left beside each place, as the program says, differs from how far it is to the rout."""
    dx, dy, turn = told["place"]
    turned, moved = gp_Trsf(), gp_Trsf()
    turned.SetRotation(gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1)), turn)
    moved.SetTranslation(gp_Vec(dx, dy, 0))
    names = {(1, 0): "treble", (-1, 0): "bass", (0, 1): "neck", (0, -1): "bridge"}
    for (x, y), towards, room in told["beside"]:
        point = gp_Pnt(x, y, 0).Transformed(turned).Transformed(moved)
        side = curve(told, names[tuple(round(t) for t in towards)])
        ahead = gp_Vec(*towards, 0).Multiplied(FAR * 5)
        line = BRepBuilderAPI_MakeEdge(point.Translated(ahead.Reversed()), point.Translated(ahead)).Edge()
        query = BRepExtrema_DistShapeShape(line, side)
        crossing = gp_Vec(point, query.PointOnShape1(1)).Dot(gp_Vec(*towards, 0))
        yield max(abs(crossing - room), query.Value())


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        bodies = json.load(file)
    # A cover that does not go in as it is has no place; how far off it is, is another question.
    inside = [Body(told) for told in bodies if told["in_rout"] > 0.02]
    off = []
    for body in inside:
        best = body.best()
        if best is None:
            print("no place was found for", json.dumps(body.told))
            sys.exit(1)
        off.append(body.told["left"] - best)
    off = np.array(off)
    worst = np.abs(off).max()
    print(
        f"covers in {len(off)} crooked bodies: the play that is left at the screws is within {worst:.1e} mm of scipy's "
        f"(over true rotations), {np.abs(off).mean():.1e} on average"
    )
    if worst > SAME or len(off) < 0.5 * len(bodies):
        index = int(np.abs(off).argmax())
        print(f"asked: {SAME:.0e} mm; worst body: {json.dumps(inside[index].told)}, off by {off[index]:+.5f}")
        sys.exit(1)
    some = [body.told for body in inside[:100]]
    apart = [distance for told in some for distance in distances(told)]
    print(
        f"what is left at {len(apart)} places beside {len(some)} covers is OpenCASCADE's distance within {max(apart):.1e} mm"
    )
    if max(apart) > SAME:
        sys.exit(1)


main()
