"""The numbered rows of a sheet: one for each quantity, its number in a disc there and in the drawing."""

import re
from dataclasses import dataclass

from report import at_most, equal
from sheet_page import Drawn, Run

ROWS = "pdfminer texts and paths"
ASKED = "pdfminer texts; readings.ron, check --json"
SETTING = "pdfminer's Core 14 metrics"

NAME = re.compile(r"[a-z0-9_]+(\.[a-z0-9_-]+)+")
SAME_MIDDLE = 0.05  # mm
HALF_ROW = 3.4  # mm, where rows stand closest


@dataclass
class Disc:
    page: int
    drawn: Drawn
    run: Run | None

    @property
    def number(self):
        return int(self.run.text) if self.run and self.run.text.isdigit() else None

    @property
    def black(self):
        return max(self.drawn.fill) < 0.5

    @property
    def readable(self):
        return self.run is not None and (min(self.run.ink) > 0.5) == self.black


@dataclass
class Row:
    name: str
    disc: Disc | None
    texts: list

    @property
    def number(self):
        return self.disc.number if self.disc else None

    @property
    def open(self):
        """Still to be read, or to be read again."""
        known = any("±" in text for text in self.texts)
        return not known or any(text.startswith("read it") for text in self.texts)


def row_checks(name, pages, asked):
    sheets = [page for page in pages if not page.is_template]
    rows, drawings = sorted_out(sheets, asked)
    names, numbers = [row.name for row in rows], [row.number for row in rows]
    discs = [row.disc for row in rows if row.disc] + drawings
    twice = sorted({one for one in names if names.count(one) > 1})
    # What a sheet had keeps its number, so what is asked for besides has one that is higher than all others.
    missing = sorted(set(range(1, len(rows) + 1)) ^ set(numbers), key=str)
    unreadable = [one.number for one in discs if not one.readable]
    return [
        equal(name, "rows", len(rows), len(asked), ASKED),
        equal(name, "quantities missing, or not asked for", sorted(set(names) ^ set(asked)), [], ASKED),
        equal(name, "quantities in two rows", twice, [], ROWS),
        equal(name, "row numbers missing, or more than there are rows", missing, [], ROWS),
        equal(name, "rows whose number is lower than the one above", falling(rows), [], ROWS),
        equal(name, "numbers not once in the drawing", not_once(sheets, rows, drawings), [], ROWS),
        equal(name, "discs whose ink belies the row", belied(rows, drawings), [], ROWS),
        equal(name, "numbers that do not stand out", unreadable, [], ROWS),
        at_most(name, "numbers off their disc's middle, mm", off_middle(discs), SAME_MIDDLE, SETTING),
    ]


def falling(rows):
    """By the row's name; of two on one page."""
    pairs = [(above, below) for above, below in zip(rows, rows[1:]) if above.disc and below.disc]
    together = [(a, b) for a, b in pairs if a.disc.page == b.disc.page and None not in (a.number, b.number)]
    return [below.name for above, below in together if below.number <= above.number]


def sorted_out(sheets, asked):
    """The rows in the order of the pages, and the discs in no row: those of the drawings."""
    rows, drawings = [], []
    for page in sheets:
        discs = [disc(page, one) for one in page.drawn if one.fill and one.pen and one.is_circle]
        plain = [run for run in page.runs if not run.bold]
        here = [row(page, discs, run) for run in plain if run.text in asked or NAME.fullmatch(run.text)]
        taken = [one.disc for one in here]
        rows += here
        drawings += [one for one in discs if one not in taken]
    return rows, drawings


def disc(page, drawn):
    x0, y0, x1, y1 = drawn.box
    later = [run for run in page.runs if run.place > drawn.place]
    inside = [run for run in later if x0 < run.middle[0] < x1 and y0 < run.middle[1] < y1]
    return Disc(page.number, drawn, min(inside, key=lambda run: run.place, default=None))


def row(page, discs, name):
    """A row has one disc, left of the name; two are as wrong as none."""
    own = [one for one in discs if beside(one, name) and one.drawn.middle[0] < name.left]
    if len(own) != 1:
        return Row(name.text, None, [])
    return Row(name.text, own[0], [run.text for run in page.runs if beside(own[0], run)])


def beside(disc, run):
    return abs(disc.drawn.middle[1] - run.middle[1]) < HALF_ROW


def subject(page):
    return page.runs[0].text.removesuffix(", continued")


def not_once(sheets, rows, drawings):
    """Of the rows of a page that has a drawing. The distance from the saddles goes far beyond it, and what is asked for only
    because it would show a slip is said in words."""
    found = []
    for about in {subject(page) for page in sheets}:
        pages = [page.number for page in sheets if subject(page) == about]
        drawn = [one.number for one in drawings if one.page in pages]
        here = [one for one in rows if one.disc and one.disc.page in pages]
        if drawn or any(".rout." in one.name for one in here):
            told = [one for one in here if "would show a slip" not in one.texts]
            wanted = {one.number for one in told if not one.name.endswith(".distance")}
            found += sorted(one for one in wanted | set(drawn) if drawn.count(one) != 1 or one not in wanted)
    return found


def belied(rows, drawings):
    state = {one.number: one.open for one in rows if one.disc}
    wrong = [one.name for one in rows if one.disc and one.disc.black != one.open]
    return wrong + [one.number for one in drawings if one.black != state.get(one.number)]


def off_middle(discs):
    pairs = [(one.run.middle, one.drawn.middle) for one in discs if one.run]
    return max(max(abs(a[0] - b[0]), abs(a[1] - b[1])) for a, b in pairs)
