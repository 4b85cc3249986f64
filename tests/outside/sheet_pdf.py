"""Reading a sheet's PDF: with pdfminer what stands on its pages, with PDFium the same once more and how
it looks."""

import logging
import warnings
from contextlib import closing

import pypdfium2
import svgelements
from pdfminer import settings
from pdfminer.converter import PDFPageAggregator
from pdfminer.layout import LTChar, LTCurve
from pdfminer.pdfinterp import PDFPageInterpreter, PDFResourceManager
from pdfminer.pdfpage import PDFPage

from sheet_page import ROUND, Drawn, Page, Run

MM = 25.4 / 72  # a point, ISO 32000-1
DPI = 600


def read_pages(path):
    """The pages, and all that pdfminer had to say of the file."""
    notes = Notes()
    log = logging.getLogger("pdfminer")
    log.addHandler(notes)
    settings.STRICT = True
    try:
        with warnings.catch_warnings(record=True) as caught, path.open("rb") as file:
            warnings.simplefilter("always")
            pages = [gathered(i + 1, layout) for i, layout in enumerate(layouts(file))]
    finally:
        log.removeHandler(notes)
    return pages, notes.lines + [str(one.message) for one in caught]


def layouts(file):
    manager = PDFResourceManager()
    device = PDFPageAggregator(manager, laparams=None)
    for page in PDFPage.get_pages(file):
        PDFPageInterpreter(manager, device).process_page(page)
        yield device.get_result()


class Notes(logging.Handler):
    def __init__(self):
        super().__init__(logging.WARNING)
        self.lines = []

    def emit(self, record):
        self.lines.append(record.getMessage())


def gathered(number, layout):
    page = Page(number, (layout.width * MM, layout.height * MM))
    for place, item in enumerate(layout):
        if isinstance(item, LTCurve):
            page.drawn.append(drawn(place, item))
        elif isinstance(item, LTChar):
            letter = run(place, item)
            if page.runs and goes_on(page.runs[-1], letter):
                last = page.runs[-1]
                last.place, last.text, last.right = place, last.text + letter.text, letter.right
            else:
                page.runs.append(letter)
        else:
            raise ValueError(f"page {number} holds a {type(item).__name__}")
    return page


def drawn(place, item):
    shape = svgelements.Path()
    steps = {"m": shape.move, "l": shape.line, "c": shape.cubic, "h": shape.closed}
    for name, *points in item.original_path:
        steps[name](*[(x * MM, y * MM) for x, y in points])
    pen = item.linewidth * MM if item.stroke else 0.0
    dashed = bool(item.stroke and item.dashing_style and item.dashing_style[0])
    return Drawn(place, shape, pen, item.non_stroking_color if item.fill else None, dashed)


def run(place, letter):
    wide, _, _, _, x, base = letter.matrix
    left, right, base = x * MM, (x + letter.adv * wide) * MM, base * MM
    size, ink = letter.size * MM, letter.graphicstate.ncolor
    return Run(place, letter.get_text(), letter.fontname, size, ink, left, right, base)


def goes_on(before, letter):
    """Letters of one run stand side by side, and nothing is painted between them."""
    alike = before.font == letter.font and abs(before.size - letter.size) < ROUND
    beside = abs(before.right - letter.left) < ROUND and abs(before.base - letter.base) < ROUND
    return before.place + 1 == letter.place and alike and beside


def pdfium_pages(path):
    """The pages' sizes in mm and their texts."""
    with closing(pypdfium2.PdfDocument(path)) as document:
        return [(tuple(side * MM for side in page.get_size()), texts(page)) for page in document]


def texts(page):
    letters = page.get_textpage()
    kind = pypdfium2.raw.FPDF_PAGEOBJ_TEXT
    return [one.extract().strip() for one in page.get_objects(filter=[kind], textpage=letters)]


def rendered(path, number):
    """The page in grey as PDFium paints it, a row for each line of pixels from the top."""
    with closing(pypdfium2.PdfDocument(path)) as document:
        picture = document[number - 1].render(scale=DPI / 72, grayscale=True).to_numpy()
    return picture.reshape(picture.shape[:2])
