"""One line of the verdict table, and the table."""

import re
from dataclasses import dataclass
from math import inf, isfinite

SIDES = re.compile(r"\b(underside|top|bass|treble|neck|bridge)(?= on the bed)")
COLUMNS = ("part", "what", "reached", "asked", "verdict", "source")


@dataclass
class Check:
    part: str
    what: str
    reached: str
    asked: str
    passed: bool
    source: str
    # How much of the allowance was used up; orders the table.
    strain: float = 0.0

    def cells(self):
        verdict = "ok" if self.passed else "FAILED"
        return (self.part, self.what, short(self.reached), short(self.asked), verdict, self.source)


def short(text, width=48):
    return text if len(text) <= width else text[: width - 3] + "..."


def at_most(part, what, reached, limit, source):
    """A value that is not a number fails: every comparison with it is false."""
    strain = reached / limit if limit > 0 and isfinite(reached) else inf
    return Check(part, what, f"{reached:.3g}", f"<= {limit:.3g}", bool(reached <= limit), source, strain)


def equal(part, what, reached, wanted, source):
    same = reached == wanted
    return Check(part, what, str(reached), str(wanted), bool(same), source, 0.0 if same else inf)


def broken(part, what, error, source):
    """A check that could not be carried out counts as failed, never as absent."""
    text = f"{type(error).__name__}: {error}".strip().replace("\n", " ")
    return Check(part, what, text, "an answer", False, source, inf)


def relative(reached, wanted):
    return abs(reached - wanted) / abs(wanted) if wanted else inf


def show(checks):
    ordered = sorted(checks, key=lambda one: (not one.passed, one.strain))
    rows = [COLUMNS] + [one.cells() for one in ordered]
    widths = [max(len(row[i]) for row in rows) for i in range(len(COLUMNS))]
    for row in rows:
        print("  ".join(cell.ljust(width) for cell, width in zip(row, widths)).rstrip())


def summary(checks):
    """What was checked, how often, against what source, the agreement reached where it was least, and that asked."""
    groups = {}
    for one in checks:
        # Figures and the name of a side or size within the words do not make another kind of check.
        kind = re.sub(r"(?<![\w-])\d+(\.\d+)?(?!\w)", "…", SIDES.sub("a side", one.what))
        kind = re.sub(r"(printed|drawn as stated|at the bed): [^,]+", r"\1: a size", kind)
        groups.setdefault((kind, one.source), []).append(one)
    rows = [("what", "times", "least agreement", "asked", "verdict", "source")]
    for (what, source), group in groups.items():
        worst = max(group, key=lambda one: (not one.passed, one.strain))
        _, _, reached, asked, verdict, _ = worst.cells()
        alike = len({one.asked for one in group}) == 1 and worst.strain == 0.0
        rows.append((what, str(len(group)), reached, asked if alike or worst.strain else "each its own", verdict, source))
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    for row in rows:
        print("  ".join(cell.ljust(width) for cell, width in zip(row, widths)).rstrip())


def tally(checks):
    failed = sum(1 for one in checks if not one.passed)
    print(f"{len(checks) - failed} passed, {failed} failed")
    return failed
