"""The distance of points from a mesh, and how far the furthest of one mesh's triangles reaches from
another mesh: the one-sided Hausdorff distance, by bounds and halving, with scipy's cKDTree to find what
lies near and trimesh's closest_point on a triangle.
"""

from itertools import chain

import numpy as np
from OCP.BRepAdaptor import BRepAdaptor_Surface
from scipy.spatial import cKDTree
from trimesh.triangles import closest_point

from measure import face_kind
from strays import vector

# mm; a place stands for all of its triangle, or edge, that lies no further from it than this. Smaller
# ones make the tree larger, larger ones every search in it.
NEAR, ON_BORDER = 1.0, 0.1
ROUNDING = 1e-9  # mm; of distances that are the same
FIRST = 100  # corners from which the first distance is taken


class Surface:
    """A solid_mesh.Skin, ready to be asked what of it lies near."""

    def __init__(self, skin):
        self.corners = skin.mesh.triangles.view(np.ndarray)
        planes = np.array([plane_of(face) for face in skin.faces])[skin.face_of]
        self.origins, self.normals = planes[:, 0], planes[:, 1]
        places, self.owners = pieces(self.corners, NEAR)
        self.tree = cKDTree(places)
        self.border = cKDTree(border_places(skin))

    def likely(self, points):
        """For each point a triangle that may well be the nearest."""
        return self.owners[self.tree.query(points)[1]]

    def nearest(self, points, within):
        """The exact distance of each point, which is at most `within`, and its nearest triangle."""
        lists = self.tree.query_ball_point(points, within + NEAR)
        point = np.repeat(np.arange(len(points)), [len(one) for one in lists])
        owner = self.owners[np.fromiter(chain.from_iterable(lists), dtype=int)]
        point, owner = np.divmod(np.unique(point * len(self.corners) + owner), len(self.corners))
        distance = between(self.corners[owner], points[point])
        order = np.lexsort((distance, point))
        first = order[np.flatnonzero(np.diff(point[order], prepend=-1))]
        return distance[first], owner[first]

    def bounds(self, triangles, owners):
        """For each triangle, what none of its points is further than from the surface. The distance
        from one triangle of the surface is a convex function, so it is largest at a corner; over a
        flat face, away from the face's border, the distance from its plane is."""
        corners = [between(self.corners[owners], triangles[:, i]) for i in range(3)]
        return np.minimum(np.max(corners, axis=0), self.over_flat(triangles, owners))

    def over_flat(self, triangles, owners):
        found = np.full(len(triangles), np.inf)
        flat = np.flatnonzero(np.isfinite(self.normals[owners, 0]))
        triangles, owners = triangles[flat], owners[flat]
        middle, reach = extent(triangles)
        normal, origin = self.normals[owners], self.origins[owners]
        above = np.einsum("ijk,ik->ij", triangles - origin[:, None], normal)
        foot = middle - normal * np.einsum("ik,ik->i", middle - origin, normal)[:, None]
        spot = closest_point(self.corners[owners], middle)
        # Around the spot, which is on the face, no border: the face covers what lies below.
        clear = self.border.query(spot)[0] - ON_BORDER
        below = length(foot - spot) + reach < clear
        found[flat[below]] = np.abs(above[below]).max(axis=1)
        return found


def furthest(pairs, close):
    """Of pairs of triangles and a surface the largest distance of any point of the triangles from their
    surface, or up to `close` less: none is further than the answer and `close`."""
    pairs = [(triangles, surface) for triangles, surface in pairs if len(triangles)]
    # All corners first: whatever is known to be far spares looking closely at what is near.
    best = max((furthest_corner(*pair) for pair in pairs), default=0.0)
    for triangles, surface in pairs:
        best = furthest_point(triangles, surface, close, best)
    return best


def furthest_point(triangles, surface, close, best):
    """Triangles are halved until their bounds say that none of them reaches beyond the best. That ends: a
    middle is at most as far as the best, and so is all that lies within `close` of it but for `close`."""
    while len(triangles):
        middle, reach = extent(triangles)
        owners = surface.likely(middle)
        distance = between(surface.corners[owners], middle)
        # The likely distance is too large where it is wrong, so only these can be a new best.
        new = np.flatnonzero(distance > best + ROUNDING)
        if len(new):
            distance[new], owners[new] = surface.nearest(middle[new], distance[new])
            best = max(best, float(distance[new].max()))
        left = np.flatnonzero(distance + reach > best + close)
        left = left[surface.bounds(triangles[left], owners[left]) > best + close]
        triangles = halved(triangles[left])
    return best


def furthest_corner(triangles, surface):
    """Of all corners' likely distances the largest, measured exactly."""
    corners = np.unique(triangles.reshape(-1, 3), axis=0)
    likely = between(surface.corners[surface.likely(corners)], corners)
    first = np.argsort(-likely)[:FIRST]
    return float(surface.nearest(corners[first], likely[first])[0].max())


def between(triangles, points):
    found = length(closest_point(triangles, points) - points)
    if not np.isfinite(found).all():
        raise ValueError("a triangle is too thin for trimesh to say how far it is")
    return found


def extent(triangles):
    """Middles, and how far the corners are from them."""
    middle = (triangles[:, 0] + triangles[:, 1] + triangles[:, 2]) / 3
    return middle, length(triangles - middle[:, None]).max(axis=1)


def length(vectors):
    """numpy.linalg.norm is several times as slow on three numbers each."""
    return np.sqrt(np.einsum("...k,...k", vectors, vectors))


def halved(triangles):
    """Every triangle as two, cut at the middle of its longest edge; first all the one halves."""
    rows = np.arange(len(triangles))
    longest = length(triangles - np.roll(triangles, -1, axis=1)).argmax(axis=1)
    a, b, c = [triangles[rows, (longest + i) % 3] for i in range(3)]
    middle = (a + b) / 2
    return np.concatenate([np.stack([a, middle, c], axis=1), np.stack([middle, b, c], axis=1)])


def pieces(triangles, reach):
    """Middles of triangles halved until none reaches further, and of which triangle each is a piece."""
    owners, middles, owned = np.arange(len(triangles)), [], []
    while len(triangles):
        middle, far = extent(triangles)
        middles.append(middle[far <= reach])
        owned.append(owners[far <= reach])
        triangles, owners = halved(triangles[far > reach]), np.tile(owners[far > reach], 2)
    return np.concatenate(middles), np.concatenate(owned)


def border_places(skin):
    """Places on all edges between two faces, none of which has a point further than ON_BORDER from one."""
    pairs = skin.face_of[skin.mesh.face_adjacency]
    ends = skin.mesh.vertices.view(np.ndarray)[skin.mesh.face_adjacency_edges[pairs[:, 0] != pairs[:, 1]]]
    along = ends[:, 1] - ends[:, 0]
    counts = np.ceil(length(along) / (2 * ON_BORDER)).astype(int)
    edge = np.repeat(np.arange(len(ends)), counts)
    piece = np.arange(len(edge)) - np.repeat(np.cumsum(counts) - counts, counts)
    return ends[edge, 0] + along[edge] * ((piece + 0.5) / counts[edge])[:, None]


def plane_of(face):
    """A place on a flat face's plane and its normal; nothing of a curved face."""
    if face_kind(face) != "plane":
        return np.full((2, 3), np.nan)
    plane = BRepAdaptor_Surface(face).Plane()
    return np.array([vector(plane.Location()), vector(plane.Axis().Direction())])
