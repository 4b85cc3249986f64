"""Families and printers that the demos leave out: python variants.py ROOT OUT writes OUT/specs/NAME and
OUT/printers/NAME, made from the demos' files.

* ears: all but round ears, and a baseplate lying on its top, on a printer with a profile;
* turned: a bed that parts only fit turned by a quarter, one or two on a plate, and x and y that differ by
  half a per cent, so that a size that goes by the wrong one is seen;
* under: a cover with bosses on its underside, on a printer with a profile;
* upright: nominal parts that stand on an end or a side;
* usual: a printer that nothing was read of;
* left: a left-handed twin of the tidewick;
* beside: its row of rods beside the bosses, which are cut out of the plates;
* askew: ears on the slanted ends of a parallelogram;
* across: a left-handed twin of the transom, its row towards the bridge;
* cut: flatwork from sheets that plates go on across, in a wide kerf, and boss cut-outs in them.
"""

import math
import re
import shutil
import sys
from pathlib import Path

SHEET = (
    "sheet: (length: mm(50), width: mm(190), kerf: mm(0.8), tolerance: mm(0.08), thickness_tolerance: mm(0.05), "
    "least_hole: mm(0.5), least_web: mm(0.2), spacing: mm(2.5))"
)
UPRIGHT = "cover: treble, baseplate: bass, flatwork_bottom: neck, flatwork_top: bridge"
FAMILIES = [
    # name, made from, printer, sides on the bed, other changes of words
    ("ears", "gunwale", "quay", "baseplate: top", {r"ears\(": "ears(corner_radius: mm(6.7), "}),
    ("turned", "tidewick", "narrow", "", {}),
    ("under", "wherry", "quay", "cover: underside", {}),
    ("upright", "gunwale", None, UPRIGHT, {}),
    ("usual", "saltern", "unread", "", {}),
    ("left", "tidewick", None, "", {r"strings: 6,": "strings: 6, handed: left,"}),
    ("beside", "tidewick", None, "", {r"strings: 6,": "strings: 6, row: (offset: mm(7.2)),", r"7600": "1200", r"mark_radius: mm\(1.6\)": "mark_radius: mm(1.1)"}),
    ("cut", "tidewick", "quay", "", {r"strings: 6,": "strings: 6, row: (offset: mm(7.2)),", r"7600": "1200", r"mark_radius: mm\(1.6\),": f"mark_radius: mm(1.1), {SHEET},"}),
    ("across", "transom", None, "", {r"handed: right,": "handed: left, row: (offset: mm(-2.5)),"}),
]
NARROW = [60, 130, 130]
SMALL = [100, 100, 100]  # holds a coupon, with little to spare


def swap(path, pattern, new, count=0):
    text = path.read_text(encoding="utf-8")
    changed, found = re.subn(pattern, new, text, count=count, flags=re.DOTALL)
    if not found:
        raise SystemExit(f"{path}: nothing like {pattern}")
    path.write_text(changed, encoding="utf-8")


def write_printers(root, out):
    quay = root / "specs" / "wherry" / "quay"
    for name, bed in [("quay", None), ("narrow", NARROW), ("unread", None), ("small", SMALL)]:
        shutil.copytree(quay, out / name)
        if bed:
            swap(out / name / "printer.ron", r"bed: mm\(\[[^\]]*\]\)", f"bed: mm({bed})")
    shrink(out / "narrow" / "readings.ron", r'"(?:outer|foot)\.x\.90", got: mm\(\[([^\]]*)\]', 0.5)
    swap(out / "unread" / "readings.ron", r"reading\([^\n]*\n", "")


def shrink(path, pattern, by):
    """Takes so much, mm, off every figure of the readings that match."""
    text = path.read_text(encoding="utf-8")
    for hit in reversed(list(re.finditer(pattern, text))):
        less = ", ".join(f"{float(one) - by:.2f}" for one in hit[1].split(","))
        text = text[: hit.start(1)] + less + text[hit.end(1) :]
    path.write_text(text, encoding="utf-8")


def write_family(root, out, name, source, printer, on_bed, changes):
    shutil.copytree(root / "specs" / source, out / name, ignore=shutil.ignore_patterns("quay"))
    path = out / name / "family.ron"
    if printer:
        swap(path, r'printer: (?:"[^"]*"|\(.*?\n    \)),', f'printer: "../../printers/{printer}",')
    if on_bed:
        path.write_text(re.sub(r"    on_bed: \(.*?\),\n", "", path.read_text(encoding="utf-8")))
        swap(path, r"    positions: \[", f"    on_bed: ({on_bed}),\n    positions: [", 1)
    for pattern, new in changes.items():
        swap(path, pattern, new)


def put_ears_on_ends(folder):
    """Their screws are read square to the slanted ends, as much beyond them as they were beyond the long sides."""
    swap(folder / "family.ron", r"ear_recesses: \[neck, bridge\]", "ear_recesses: [treble, bass]")
    path = folder / "readings.ron"
    is_place = re.compile(r'of: "bridge\.(?:screws\.[12]\.|screws\.pitch|ears\.[12]\.)')
    kept = [line for line in path.read_text(encoding="utf-8").splitlines() if not is_place.search(line)]
    read = {
        "screws.1.treble_side": -5.36, "screws.1.neck_side": 17.1, "ears.1.bridge_side": 7.2,
        "screws.2.bass_side": -5.28, "screws.2.neck_side": 19.0, "ears.2.neck_side": 7.2,
    }  # fmt: skip
    for name, mm in read.items():
        kept.append(f'reading(on: "2026-11-24", of: "bridge.{name}", how: outside, got: mm([{mm}, {mm + 0.01:.2f}]))')
    # From one to the other: the ends are 85.2 apart, and lean by 0.17 on a way of 1.
    far = math.hypot(85.2 * math.hypot(1, 0.17) + 10.65 * math.hypot(1, 0.17) - 0.17 * 1.9, 1.9)
    kept.append(f'reading(on: "2026-11-24", of: "bridge.screws.pitch", how: holes_far, got: mm([{far + 2.38:.2f}]))')
    path.write_text("\n".join(kept) + "\n", encoding="utf-8")


def main():
    root, out = map(Path, sys.argv[1:])
    write_printers(root, out / "printers")
    for one in FAMILIES:
        write_family(root, out / "specs", *one)
    write_family(root, out / "specs", "askew", "transom", None, "", {})
    put_ears_on_ends(out / "specs" / "askew")


if __name__ == "__main__":
    main()
