"""Checks built families from outside: python check.py FOLDER... (each holding manifest.json), and
families' measuring sheets: --sheets FAMILY WORK as in sheet_check.py, printers' coupons: --coupon
PRINTER FOLDER, two versions of a family: --difference EARLIER LATER DIFF, a left-handed twin:
--mirrored RIGHT LEFT, and coils: --coils WIND as in coil_check.py, each any number of times.

Prints one line per check, the hardest-pressed and the failed ones last, then the tally.
"""

import argparse
import json
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import compensation_check
import cost_check
import mesh_check
import overhang_check
import step_check
from assembly_check import check_assembly
from coil_check import check_coils
from coupon_check import check_coupon
from cut_check import check_cuts
from difference_check import check_difference
from mirror_check import check_mirrored
from plate_check import check_plates
from random_check import check_random
from report import broken, equal, show, summary, tally
from rust_checks import rust_checks
from sheet_check import check_sheets
from sheet_widths import widths_checks
from step_file import quiet

MANIFEST = "manifest.json as written"


def check_family(folder):
    try:
        manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
        checks = manifest_checks(folder, manifest)
    except Exception as error:
        return [broken(folder.name, "manifest", error, MANIFEST)]
    for part in manifest["parts"]:
        try:
            found, solid = step_check.check_part(folder, part)
            if "printed" in part:
                found += mesh_check.check_part(folder, part, manifest["chord_tolerance_mm"], solid)
                found += compensation_check.check_part(folder, part, manifest, solid)
                found += overhang_check.check_part(part, solid) + cost_check.check_part(part, solid)
        except Exception as error:
            found = [broken(part.get("id", "?"), "part", error, MANIFEST)]
        checks += found
    checks += check_assembly(folder, manifest) + check_plates(folder, manifest)
    checks += cost_check.check_plates(manifest) + check_cuts(folder, manifest)
    for one in checks:
        one.part = f"{manifest['family']}/{one.part}"
    return checks


def manifest_checks(folder, manifest):
    parts = manifest["parts"]
    ids = [part["id"] for part in parts]
    odd = [part["id"] for part in parts if part["id"] != f"{part['position']}-{part['part']}"]
    wanted = sorted(name for part in parts for name in part["files"].values()) + [manifest["assembly"]]
    wanted += [plate["file"] for plate in manifest["plates"]]
    missing = [name for name in wanted if not (folder / name).is_file()]
    return [
        equal("manifest", "format", manifest["format"], 1, MANIFEST),
        equal("manifest", "folder name", folder.name, manifest["family"], MANIFEST),
        equal("manifest", "ids that are not position-part", odd, [], MANIFEST),
        equal("manifest", "ids given twice", len(ids) - len(set(ids)), 0, MANIFEST),
        equal("manifest", "files missing", missing, [], MANIFEST),
    ]


def all_of(function, arguments):
    """As a list: some are made one by one, which no other process could be handed."""
    return list(function(*arguments))


def main():
    as_written = argparse.RawDescriptionHelpFormatter
    reader = argparse.ArgumentParser(description=__doc__, formatter_class=as_written)
    reader.add_argument("folders", nargs="+", type=Path, metavar="FOLDER")
    pair = ("FAMILY", "WORK")
    reader.add_argument("--sheets", nargs=2, action="append", default=[], type=Path, metavar=pair)
    pair = ("PRINTER", "FOLDER")
    reader.add_argument("--coupon", nargs=2, action="append", default=[], type=Path, metavar=pair)
    three = ("EARLIER", "LATER", "DIFF")
    reader.add_argument("--difference", nargs=3, action="append", default=[], type=Path, metavar=three)
    pair = ("RIGHT", "LEFT")
    reader.add_argument("--mirrored", nargs=2, action="append", default=[], type=Path, metavar=pair)
    reader.add_argument("--random", action="append", default=[], type=Path, metavar="FOLDER")
    pair = ("ROOT", "ANSWERS")
    reader.add_argument("--rust", nargs=2, action="append", default=[], type=Path, metavar=pair)
    reader.add_argument("--coils", action="append", default=[], type=Path, metavar="WIND")
    asked = reader.parse_args()
    # Each is much work by itself, and none needs another: one for each core at a time.
    work = [(check_family, [folder.resolve()]) for folder in asked.folders]
    work += [(check_difference, versions) for versions in asked.difference]
    work += [(check_sheets, [family.resolve(), made.resolve()]) for family, made in asked.sheets]
    work += [(widths_checks, ["sheets"])] if asked.sheets else []
    work += [(check_coupon, [printer, made.resolve()]) for printer, made in asked.coupon]
    work += [(check_mirrored, pair) for pair in asked.mirrored]
    work += [(check_coils, [answer]) for answer in asked.coils]
    work += [(rust_checks, pair) for pair in asked.rust]
    work += [(check_random, [folder.resolve()]) for folder in asked.random]
    # Fresh processes: what the kernels keep of threads and locks is not carried over.
    with ProcessPoolExecutor(mp_context=get_context("spawn"), initializer=quiet) as pool:
        answers = [pool.submit(all_of, function, arguments) for function, arguments in work]
        checks = [one for answer in answers for one in answer.result()]
    failed = [one for one in checks if not one.passed]
    if failed:
        show(failed)
        print()
    summary(checks)
    return 1 if tally(checks) else 0


if __name__ == "__main__":
    sys.exit(main())
