"""Checks built families from outside: python check.py FOLDER... (each holding manifest.json).

Prints one line per check, the hardest-pressed and the failed ones last, then the tally.
"""

import json
import sys
from pathlib import Path

import mesh_check
import step_check
from assembly_check import check_assembly
from report import broken, equal, show, tally
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
            found += mesh_check.check_part(folder, part, manifest["chord_tolerance_mm"], solid)
        except Exception as error:
            found = [broken(part.get("id", "?"), "part", error, MANIFEST)]
        checks += found
    checks += check_assembly(folder, manifest)
    for one in checks:
        one.part = f"{manifest['family']}/{one.part}"
    return checks


def manifest_checks(folder, manifest):
    parts = manifest["parts"]
    ids = [part["id"] for part in parts]
    odd = [part["id"] for part in parts if part["id"] != f"{part['position']}-{part['part']}"]
    wanted = sorted(name for part in parts for name in part["files"].values()) + [manifest["assembly"]]
    missing = [name for name in wanted if not (folder / name).is_file()]
    return [
        equal("manifest", "format", manifest["format"], 1, MANIFEST),
        equal("manifest", "folder name", folder.name, manifest["family"], MANIFEST),
        equal("manifest", "ids that are not position-part", odd, [], MANIFEST),
        equal("manifest", "ids given twice", len(ids) - len(set(ids)), 0, MANIFEST),
        equal("manifest", "files missing", missing, [], MANIFEST),
    ]


def main(arguments):
    if not arguments:
        print(__doc__)
        return 2
    quiet()
    checks = [one for folder in arguments for one in check_family(Path(folder).resolve())]
    show(checks)
    return 1 if tally(checks) else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
