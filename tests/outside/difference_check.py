"""What `diff` says of two versions of a family, against OpenCASCADE's booleans of the two builds' STEP
files, which hold the exact solids: --difference EARLIER LATER DIFF, two folders of builds and the file
with the answer of `diff --json`.
"""

import json

from measure import volume
from OCP.TopExp import TopExp_Explorer
from OCP.TopAbs import TopAbs_SOLID
from moved_check import check_moved
from report import at_most, broken, equal
from solids import cut, only_solid
from step_file import read_plain

BOOLEAN = "OpenCASCADE BRepAlgoAPI_Cut of the STEP files"
ANSWER = "diff --json as written"

# mm³. The program integrates rounded slabs until halves agree to 1e-4; a slab has a few dozen of them.
SAME = 3e-3


def check_difference(earlier, later, answer):
    try:
        parts = json.loads(answer.read_text(encoding="utf-8"))["parts"]
    except Exception as error:
        return [broken("difference", "answer", error, ANSWER)]
    ids = sorted(path.stem for path in earlier.glob("*-*.step"))
    checks = [equal("difference", "parts", sorted(part["id"] for part in parts), ids, ANSWER)]
    for part in parts:
        try:
            checks += check_part(part, earlier, later)
        except Exception as error:
            checks.append(broken(part["id"], "difference", error, BOOLEAN))
    return checks


def check_part(part, earlier, later):
    was, now = [only_solid(read_plain(folder / f"{part['id']}.step").shape) for folder in (earlier, later)]
    name = f"{later.name}/{part['id']}"
    removed, added = left_of(was, now), left_of(now, was)
    balance = volume(now) - volume(was) - (part["added_mm3"] - part["removed_mm3"])
    checks = [
        at_most(name, "volume taken off, mm3 off", abs(part["removed_mm3"] - removed), SAME, BOOLEAN),
        at_most(name, "volume put on, mm3 off", abs(part["added_mm3"] - added), SAME, BOOLEAN),
        at_most(name, "volumes and their difference, mm3 off", abs(balance), SAME, BOOLEAN),
    ]
    return checks + check_moved(name, part, was, now)


def left_of(solid, tool):
    """The volume of a solid without another; nothing may be left."""
    rest = cut(solid, [tool])
    return volume(rest) if TopExp_Explorer(rest, TopAbs_SOLID).More() else 0.0
