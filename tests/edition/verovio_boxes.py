"""What Verovio prints of a score, as boxes."""

from functools import cache
from typing import Any
from xml.etree import ElementTree

import verovio
from tests.edition.boxes import Box

PAGE = {
    "pageHeight": 2970,
    "pageWidth": 2100,
    "scale": 40,
    "header": "none",
    "svgBoundingBoxes": True,
    "svgContentBoundingBoxes": True,
}
"""A4 and a usual size of notes."""


@cache
def boxes(score: bytes) -> tuple[list[Box], list[Box]]:
    """The texts and the noteheads of an engraved score."""
    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    toolkit.setOptions(PAGE)
    if not toolkit.loadData(score.decode()):
        raise ValueError("verovio cannot read this score")
    texts: list[Box] = []
    heads: list[Box] = []
    for page in range(1, toolkit.getPageCount() + 1):
        for element in ElementTree.fromstring(toolkit.renderToSVG(page)).iter():
            kinds = element.get("class", "").split()
            if kinds == ["text"]:
                texts += _boxes_in(element, "content-bounding-box", page, "".join(element.itertext()).strip())
            elif kinds == ["note"]:
                heads += _boxes_in(element, "bounding-box", page)
    return texts, heads


def _boxes_in(element: Any, kind: str, page: int, text: str = "") -> list[Box]:
    """The first box of a kind inside an element; of a note the one that is no content box is its head."""
    for holder in element.iter():
        if kind in holder.get("class", "").split():
            for rect in holder.iter("{http://www.w3.org/2000/svg}rect"):
                x, y, width, height = (float(rect.get(name)) for name in ("x", "y", "width", "height"))
                return [Box(page, x, y, x + width, y + height, text)]
    return []
