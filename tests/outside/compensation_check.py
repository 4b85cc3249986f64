"""Parts drawn for a printer: printed by a simulated one (sections.py, the table in profile.rs) and read
with simulated calipers, they must have their nominal sizes again, in the first layer and above.
"""

from allowances import Allowances
from laid import Laid
from lying import is_nominal
from printed_shapes import STEP, is_drawn_in, level_checks, outline_checks
from readings import readings
from report import at_most, broken, equal

PRINTED = "trimesh sections; shapely, profile.rs"
NAMED = "trimesh sections"


def check_part(folder, part, manifest, solid):
    if is_nominal(part):
        return []
    try:
        laid = Laid(folder, part, manifest["profile"], solid)
        allowed = Allowances(laid, part, manifest["chord_tolerance_mm"])
    except Exception as error:
        return [broken(part["id"], "sections", error, PRINTED)]
    checks = []
    steps = [
        ("printed sizes", PRINTED, size_checks),
        ("printed sizes, first layer", PRINTED, first_layer_checks),
        ("drawn sizes", NAMED, named_checks),
        ("printed outlines", STEP, outline_checks),
        ("printed levels", STEP, level_checks),
    ]
    for what, source, step in steps:
        try:
            checks += step(part, laid, allowed)
        except Exception as error:
            checks.append(broken(part["id"], what, error, source))
    return checks


def worst_by_word(part, what, source, found):
    """One check for each word, of (word, off, allowed): the reading that is pressed hardest."""
    checks = []
    for word in dict.fromkeys(word for word, _, _ in found):
        same = [(off, room) for other, off, room in found if other == word]
        off, room = max(same, key=lambda one: one[0] / one[1])
        checks.append(at_most(part["id"], f"{what}: {word}, mm off ({len(same)} read)", off, room, source))
    return checks


def size_checks(part, laid, allowed):
    found = []
    for one in readings(part):
        got = one.take(laid.printed(laid.over_bed(one.height)))
        found.append((one.word, abs(got - one.wanted), allowed.reading(one)))
    return worst_by_word(part, "printed", PRINTED, found)


def first_layer_checks(part, laid, allowed):
    """Of the readings, those that the nominal part has at the bed as well."""
    nominal, printed, found = laid.nominal(laid.first), laid.first_printed(), []
    for one in readings(part):
        try:
            at_bed = one.take(nominal)
        except (IndexError, ValueError):
            continue  # what is read does not reach down to the bed
        if abs(at_bed - one.wanted) <= allowed.outline:
            off = abs(one.take(printed) - one.wanted)
            found.append((one.word, off, allowed.in_first_layer(one)))
    checks = worst_by_word(part, "at the bed", PRINTED, found)
    wanted = is_drawn_in(part, laid)
    return checks + [equal(part["id"], "anything to read at the bed", bool(found), wanted, PRINTED)]


def named_checks(part, laid, allowed):
    """The sizes that the manifest says were drawn, in the file."""
    named, found = part["printed"]["drawn"], []
    for one in readings(part):
        if one.word in named:
            got = one.take(laid.drawn(laid.over_bed(one.height)))
            stated = float(named[one.word].lstrip("abcdefghijklmnopqrstuvwxyz."))
            found.append((one.word, abs(got - stated), allowed.named(one)))
    return worst_by_word(part, "drawn as stated", NAMED, found)
