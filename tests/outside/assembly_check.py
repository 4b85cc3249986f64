"""The family's assembly file: every part there under its name, once, in its place."""

from measure import is_valid, volume
from report import Check, at_most, broken, equal, relative
from solids import solids
from step_check import CHECKER, MASS, NAMES, READER, SAME_MASS
from step_file import read_named, read_plain

WHOLE = "assembly"
SAME_NUMBER = 1e-9  # mm; a translation is read back, not computed


def check_assembly(folder, manifest):
    path = folder / manifest["assembly"]
    try:
        plain, named = read_plain(path), read_named(path)
        return whole_checks(manifest, plain, named) + component_checks(manifest, named)
    except Exception as error:
        return [broken(WHOLE, "STEP assembly", error, READER)]


def whole_checks(manifest, plain, named):
    ids = sorted(part["id"] for part in manifest["parts"])
    total = sum(part["volume_mm3"] for part in manifest["parts"])
    reached = relative(volume(plain.shape), total)
    return [
        equal(WHOLE, "STEP length unit", sorted(set(plain.length_units)), ["millimetre"], READER),
        equal(WHOLE, "solids", len(solids(plain.shape)), len(ids), READER),
        names_check(sorted(one.product for one in named), sorted(one.instance for one in named), ids),
        equal(WHOLE, "all solids valid", is_valid(plain.shape), True, CHECKER),
        at_most(WHOLE, "volume, relative to sum of parts", reached, SAME_MASS, MASS),
    ]


def names_check(products, instances, ids):
    """Programs show either the product's or the occurrence's name; both must be the part's id."""
    odd = sorted(set(products) ^ set(ids) | set(instances) ^ set(ids))
    matches = products == ids and instances == ids
    reached = f"{len(products)} as asked" if matches else f"off: {', '.join(odd) or 'repeated'}"
    return Check(WHOLE, "names of products and occurrences", reached, f"{len(ids)} part ids", matches, NAMES)


def component_checks(manifest, named):
    by_name = {one.product: one for one in named}
    checks = []
    for part in manifest["parts"]:
        one = by_name.get(part["id"])
        if one is None:
            checks.append(equal(part["id"], "in the assembly", "missing", "present", NAMES))
            continue
        size = relative(volume(one.shape), part["volume_mm3"])
        checks += [
            equal(part["id"], "solids in the assembly", len(solids(one.shape)), 1, NAMES),
            at_most(part["id"], "place in the assembly, mm", off(one.placement, part), SAME_NUMBER, NAMES),
            at_most(part["id"], "turned in the assembly", turned(one.placement), SAME_NUMBER, NAMES),
            at_most(part["id"], "volume in the assembly, relative", size, SAME_MASS, MASS),
        ]
    return checks


def off(placement, part):
    shift = placement.TranslationPart()
    reached = shift.X(), shift.Y(), shift.Z()
    return max(abs(a - b) for a, b in zip(reached, part["place_mm"], strict=True))


def turned(placement):
    """Distance of the linear part from the identity: parts are moved, never turned or scaled."""
    return max(abs(placement.Value(i, j) - (i == j)) for i in (1, 2, 3) for j in (1, 2, 3))
