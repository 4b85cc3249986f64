"""A family's measuring sheets, on every paper, as other people's PDF and SVG readers see them.

python sheet_check.py FAMILY WORK, any number of pairs. FAMILY holds readings.ron; WORK holds what the
program made of it: check.json, its answer to `check --json`; for every paper a folder PAPER/NAME-sheet;
and, unless something is still to be measured, the built parts in NAME.
"""

import hashlib
import json
import re
import sys
from pathlib import Path

from report import broken, equal, show, tally
from sheet_layout import PAPERS, layout_checks
from sheet_page import farthest
from sheet_pdf import pdfium_pages, read_pages
from sheet_rows import row_checks
from sheet_svg import svg_checks
from sheet_template import template_checks
from sheet_widths import widths_checks

MANIFEST = "sheet.json as written"
PDFMINER = "pdfminer, strict"
BOTH = "pdfminer, PDFium"
ANSWER = "check --json"

SAME_SIZE = 0.01  # mm


def check_sheets(family, work):
    checks = []
    for paper in PAPERS:
        name = f"{family.name}/sheet-{paper}"
        checks += attempt(name, "sheet", lambda: check_sheet(name, family, work, paper))
    return checks


def attempt(name, what, make):
    try:
        return make()
    except Exception as error:
        return [broken(name, what, error, BOTH)]


def check_sheet(name, family, work, paper):
    folder = work / paper / f"{family.name}-sheet"
    pdf = folder / f"{folder.name}.pdf"
    answer = read_json(work / "check.json")
    missing = {one["quantity"] for one in answer.get("to_measure", [])}
    built = None if missing else read_json(work / family.name / "manifest.json")
    guards = {one["read_too"] for one in answer.get("unguarded", []) if one["read_too"]}
    asked = read_so_far(family) | missing | set(answer["worth_reading"]) | guards
    pages, said = read_pages(pdf)
    checks = attempt(name, "files", lambda: file_checks(name, folder, family.name))
    checks += attempt(name, "readers", lambda: reader_checks(name, folder, pdf, pages, said))
    checks += attempt(name, "rows", lambda: row_checks(name, pages, asked))
    checks.append(template_count(name, pages, built))
    for page in pages:
        checks += page_checks(f"{name} p{page.number}", folder, pdf, page, paper, built)
    return checks


def read_json(path):
    return json.loads(path.read_text(encoding="utf-8"))


def read_so_far(family):
    log = (family / "readings.ron").read_text(encoding="utf-8")
    return set(re.findall(r'^reading\(.*\bof: "([^"]+)"', log, re.MULTILINE))


def template_count(name, pages, built):
    """One for each position, and none before all is measured."""
    positions = {part["position"] for part in built["parts"]} if built else set()
    found = sum(1 for page in pages if page.is_template)
    return equal(name, "template pages", found, len(positions), ANSWER)


def page_checks(name, folder, pdf, page, paper, built):
    svg = folder / f"{folder.name}-{page.number}.svg"
    checks = attempt(name, "layout", lambda: layout_checks(name, page, paper))
    checks += attempt(name, "SVG", lambda: svg_checks(name, svg, page))
    if page.is_template:
        checks += attempt(name, "template", lambda: template_checks(name, pdf, page, built))
    return checks


def file_checks(name, folder, family):
    manifest = read_json(folder / "sheet.json")
    stated = {one["file"]: one["sha256"] for one in manifest["outputs"]}
    there = {path.name: digest(path) for path in folder.iterdir() if path.name != "sheet.json"}
    odd = sorted(one for one in stated | there if stated.get(one) != there.get(one))
    return [
        equal(name, "family in the manifest", manifest["family"], family, MANIFEST),
        equal(name, "files unlike the manifest's", odd, [], MANIFEST),
    ]


def digest(path):
    return hashlib.sha256(path.read_bytes()).hexdigest()


def reader_checks(name, folder, pdf, pages, said):
    others = pdfium_pages(pdf)
    ours = [[run.text.strip() for run in page.runs] for page in pages]
    odd = [page.number for page, texts, (_, theirs) in zip(pages, ours, others) if texts != theirs]
    off = max(farthest(page.size, size) for page, (size, _) in zip(pages, others))
    return [
        equal(name, "warnings on reading", said, [], PDFMINER),
        equal(name, "pages", len(others), len(pages), BOTH),
        equal(name, "SVG files", len(list(folder.glob("*.svg"))), len(pages), PDFMINER),
        equal(name, "page sizes alike in both readers", off < SAME_SIZE, True, BOTH),
        equal(name, "pages whose texts PDFium reads otherwise", odd, [], BOTH),
    ]


def main(arguments):
    if not arguments or len(arguments) % 2:
        print(__doc__)
        return 2
    folders = [Path(one).resolve() for one in arguments]
    pairs = zip(folders[::2], folders[1::2])
    checks = [one for family, work in pairs for one in check_sheets(family, work)]
    checks += widths_checks("sheets")
    show(checks)
    return 1 if tally(checks) else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
