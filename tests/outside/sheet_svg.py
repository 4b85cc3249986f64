"""A sheet's SVG pages against its PDF: well-formed, of the same size, with the same lines and texts."""

from math import inf
from xml.etree import ElementTree

import svgelements

from report import at_most, equal
from sheet_page import farthest

XML = "expat"
SHAPES = "svgelements, pdfminer"
TEXTS = "expat, pdfminer"

NAMESPACE = "{http://www.w3.org/2000/svg}"
SAME_SIZE = 0.01  # mm


def svg_checks(name, path, page):
    root = ElementTree.parse(path).getroot()
    units = [root.get(side, "").lstrip("0123456789.") for side in ("width", "height")]
    # With a pixel of 1/25.4 inch, svgelements' unit is the millimetre.
    drawing = svgelements.SVG.parse(path, reify=True, ppi=25.4)
    size = (float(drawing.width), float(drawing.height))
    boxes = extents(drawing, size[1])
    off = [farthest(box, one.box) for box, one in zip(boxes, page.drawn)]
    texts = ["".join(one.itertext()) for one in root.iter(f"{NAMESPACE}text")]
    odd = [text for text, run in zip(texts, page.runs) if text != run.text]
    return [
        equal(name, "SVG root", root.tag, f"{NAMESPACE}svg", XML),
        equal(name, "SVG length units", units, ["mm", "mm"], XML),
        at_most(name, "SVG paper, mm off the PDF's", farthest(size, page.size), SAME_SIZE, SHAPES),
        equal(name, "lines in the SVG", len(boxes), len(page.drawn), SHAPES),
        at_most(name, "extents of lines in the SVG, mm off", max(off, default=inf), SAME_SIZE, SHAPES),
        equal(name, "texts in the SVG", len(texts), len(page.runs), TEXTS),
        equal(name, "texts unlike the PDF's", odd, [], TEXTS),
    ]


def extents(drawing, high):
    """With y upwards, in the order of painting. The first shape is the paper itself."""
    shapes = [one for one in drawing.elements() if isinstance(one, svgelements.Shape)]
    boxes = [one.bbox(with_stroke=False) for one in shapes[1:]]
    return [(x0, high - y1, x1, high - y0) for x0, y0, x1, y1 in boxes]
