"""The program's own table of letter widths, against pdfminer's copy of the Core 14 metrics.

The pages themselves show only the letters that happen to be centred; the table is compared whole.
"""

import re
from pathlib import Path

from pdfminer.fontmetrics import FONT_METRICS

from report import broken, equal

TABLE = Path(__file__).resolve().parents[2] / "crates/paper/src/helvetica.rs"
METRICS = "pdfminer's Core 14 metrics"

FONTS = {"REGULAR": "Helvetica", "BOLD": "Helvetica-Bold"}
CODES = range(32, 256)
# WinAnsiEncoding is Windows' code page 1252, but for what notes 3, 5 and 6 of ISO 32000-1 annex D.2
# say: a second space, a second hyphen, and bullets where there is no letter. The euro sign is younger
# than pdfminer's copy; it is as wide as a figure.
BULLET = "•"
INSTEAD = {"\u00a0": " ", "\u00ad": "-", "\u007f": BULLET, "€": "0"}


def widths_checks(name):
    try:
        tables = read_tables(TABLE.read_text(encoding="utf-8"))
        found = {font: odd(tables[word], FONT_METRICS[font][1]) for word, font in FONTS.items()}
        return [equal(name, f"letter widths unlike {font}'s", found[font], [], METRICS) for font in found]
    except Exception as error:
        return [broken(name, "letter widths", error, METRICS)]


def read_tables(text):
    found = re.findall(r"const (\w+): \[u16; 224\] = \[([^\]]*)\];", text)
    return {word: [int(figure) for figure in re.findall(r"\d+", body)] for word, body in found}


def odd(ours, theirs):
    letters = [bytes([code]).decode("cp1252", "ignore") or BULLET for code in CODES]
    wanted = [theirs[INSTEAD.get(letter, letter)] for letter in letters]
    return [f"{a}: {b}, not {c}" for a, b, c in zip(letters, ours, wanted, strict=True) if b != c]
