"""Readers of packages, distances on plates, overhangs and the coupon's words against sums done by hand
(no program needed)."""

import tempfile
import unittest
import zipfile
from math import pi, sqrt
from pathlib import Path

import numpy as np
import trimesh
from shapely.geometry import box

from coupon_check import read_words
from overhang_check import FINE, WEIGHED, Face, overhang
from plate_check import ordered
from plate_file import MODEL, read_package, read_plate, read_scene
from plate_gaps import beyond, boxes_apart, least_gap, shadow
from solid_mesh import skinned
from solids import box as block
from solids import cylinder, fuse

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
RELATIONS = "http://schemas.openxmlformats.org/package/2006/relationships"
TYPES = "http://schemas.openxmlformats.org/package/2006/content-types"
CORNERS = [(0, 0, 0), (6, 0, 0), (0, 6, 0), (0, 0, 6)]
SIDES = [(0, 2, 1), (0, 1, 3), (1, 2, 3), (2, 0, 3)]


def model(sides):
    corners = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in CORNERS)
    triangles = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in sides)
    mesh = f"<mesh><vertices>{corners}</vertices><triangles>{triangles}</triangles></mesh>"
    thing = f'<object id="1" type="model" name="tip" partnumber="tip-1">{mesh}</object>'
    item = '<item objectid="1" partnumber="tip-2" transform="1 0 0 0 1 0 0 0 1 10 20 0"/>'
    body = f"<resources>{thing}</resources><build>{item}</build>"
    title = '<metadata name="Title">A tip</metadata>'
    return f'<?xml version="1.0"?><model unit="millimeter" xmlns="{CORE}">{title}{body}</model>'


class Packages(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)

    def package(self, sides=SIDES, method=zipfile.ZIP_DEFLATED, target="/3D/3dmodel.model"):
        path = Path(self.folder.name) / "tip.3mf"
        kinds = [("rels", "application/vnd.openxmlformats-package.relationships+xml"),
                 ("model", "application/vnd.ms-package.3dmanufacturing-3dmodel+xml")]
        known = "".join(f'<Default Extension="{one}" ContentType="{kind}"/>' for one, kind in kinds)
        link = f'<Relationship Id="m" Target="{target}" Type="{MODEL}"/>'
        with zipfile.ZipFile(path, "w", method) as package:
            package.writestr("[Content_Types].xml", f'<Types xmlns="{TYPES}">{known}</Types>')
            package.writestr("_rels/.rels", f'<Relationships xmlns="{RELATIONS}">{link}</Relationships>')
            package.writestr("3D/3dmodel.model", model(sides))
            package.writestr("notes.txt", "of no known type")
        return path

    def test_a_sound_tip(self):
        read = read_plate(self.package())
        (one,) = read.items
        self.assertEqual((read.unit, read.objects, read.metadata), ("MilliMeter", 1, {"Title": "A tip"}))
        self.assertEqual((one.name, one.object_number, one.item_number), ("tip", "tip-1", "tip-2"))
        self.assertTrue(one.sound)
        self.assertEqual(one.placed.min(axis=0).tolist(), [10, 20, 0])
        self.assertEqual(read.thumbnail, b"")

    def test_a_tip_with_a_side_missing_or_turned(self):
        self.assertFalse(read_plate(self.package(SIDES[1:])).items[0].sound)
        self.assertFalse(read_plate(self.package([(0, 1, 2), *SIDES[1:]])).items[0].sound)

    def test_the_scene(self):
        units, found = read_scene(self.package())
        self.assertEqual((units, found[0][0]), ("millimeter", "tip"))
        self.assertAlmostEqual(found[0][1], 36.0)

    def test_slips_in_the_package(self):
        sound = read_package(self.package())
        self.assertEqual((sound.broken, sound.odd_methods, sound.missing), ("", [], []))
        self.assertEqual(sound.without_type, ["notes.txt"])
        self.assertEqual([kind for kind, _ in sound.targets], [MODEL])
        odd = read_package(self.package(method=zipfile.ZIP_BZIP2, target="/3D/b.model"))
        self.assertEqual((len(odd.odd_methods), odd.missing), (4, ["/3D/b.model"]))

    def test_the_same_triangles(self):
        corners = np.array(CORNERS, dtype=float)
        whole = ordered(corners[SIDES])
        self.assertEqual(whole, ordered(corners[[(1, 0, 2), (3, 0, 1), (3, 1, 2), (3, 2, 0)]]))
        self.assertNotEqual(whole, ordered(corners[[(0, 1, 2), *SIDES[1:]]]))


class Gaps(unittest.TestCase):
    def test_a_shadow_is_that_of_the_widest_level(self):
        # A mushroom: what hangs over counts.
        head = trimesh.creation.box(bounds=[(-5, -5, 3), (5, 5, 4)])
        foot = trimesh.creation.box(bounds=[(-1, -1, 0), (1, 1, 3)])
        both = trimesh.util.concatenate([head, foot])
        self.assertAlmostEqual(shadow(both.vertices, both.faces).area, 100.0)

    def test_boxes_lie_nearer_than_what_is_in_them(self):
        angle = box(0, 0, 10, 10).difference(box(3, 3, 10, 10))
        other = box(8, 9, 12, 12)
        self.assertEqual(boxes_apart(angle.bounds, other.bounds), 0.0)
        self.assertEqual(least_gap([angle, other], 1.0), (5.0, 1))
        self.assertAlmostEqual(boxes_apart((0, 0, 1, 1), (4, 5, 6, 6)), 5.0)
        self.assertEqual(least_gap([box(0, 0, 1, 1), box(4, 5, 6, 6)], 5.0), (5.0, 0))

    def test_out_of_the_bed(self):
        self.assertEqual(beyond(np.array([(0.0, 0, 0), (10, 20, 30)]), (10, 20, 30)), 0.0)
        self.assertEqual(beyond(np.array([(0.0, -2, 0), (13, 20, 30)]), (10, 20, 30)), 3.0)


class Overhangs(unittest.TestCase):
    def found(self, solid, down):
        skin = skinned(solid, FINE)
        return overhang(skin, [Face(one) for one in skin.faces], np.array(down, dtype=float))

    def test_a_table(self):
        table = fuse(block(0, 20, 0, 10, 8, 10), [block(9, 11, 4, 6, 0, 8)])
        (leaning, room), (bed, bed_room) = self.found(table, (0, 0, -1))
        self.assertAlmostEqual(leaning, 200 - 4, places=6)
        self.assertAlmostEqual(bed, 4, places=6)
        self.assertLess(room + bed_room, 1e-5)  # flat and straight: exact

    def test_a_lying_post(self):
        post = cylinder(0, 0, 10, 0, 8)
        (leaning, room), _ = self.found(post, (1, 0, 0))
        self.assertAlmostEqual(leaning, pi / 2 * 5 * 8, delta=8 * 2 * sqrt(2 * 5 * FINE))
        # Two borders; at each, half a coarse triangle, of 2 acos(1 - 0.05 / 5), and half a fine one on
        # either side, none of which end there; and both rims of the post.
        halves = [5 * 8 * sqrt(2 * chord / 5) for chord in (WEIGHED, FINE)]
        rims = 2 * 2 * pi * 5 * (WEIGHED + FINE)
        self.assertAlmostEqual(room, 4 * sum(halves) + rims, delta=4 * halves[1])


class Coupons(unittest.TestCase):
    def test_words(self):
        bed = "(bed: mm([220, 210.5, 240]), // holes: mm([9])\n"
        text = bed + " layer: mm(0.15), coupon: (holes: mm([2, 2.6])))"
        self.assertEqual(read_words(text), {"bed": [220.0, 210.5, 240.0], "holes": [2.0, 2.6], "layer": 0.15})


if __name__ == "__main__":
    unittest.main()
