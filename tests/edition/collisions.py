"""Marked parts engraved, and the boxes of what is printed measured: marks on other texts, marks on noteheads.

    python -m tests.edition.collisions SCORE...

prints a line for each part and house style: marks, and how many of them touch a text or a notehead.
"""

import sys
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from xml.etree import ElementTree

import verovio
from tests.cli.house_styles import house_file
from tests.cli.run_gripway import ask

PAGE = {
    "pageHeight": 2970,
    "pageWidth": 2100,
    "scale": 40,
    "header": "none",
    "svgBoundingBoxes": True,
    "svgContentBoundingBoxes": True,
}
"""A4 and a usual size of notes."""

STYLES = ("plain", "figures", "difference", "stacked", "lyrics")


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on a page, in the drawing's own units, and the text in it."""

    page: int
    left: float
    top: float
    right: float
    bottom: float
    text: str = ""

    def touches(self, other: "Box") -> bool:
        """Whether two boxes have an area in common."""
        beside = self.right <= other.left or other.right <= self.left
        over = self.bottom <= other.top or other.bottom <= self.top
        return self.page == other.page and not beside and not over


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


def collisions(bare: bytes, marked: bytes) -> tuple[int, int, int]:
    """How many texts marking added, how many of them touch another text, how many a notehead."""
    before, _ = boxes(bare)
    texts, heads = boxes(marked)
    known = [box.text for box in before]
    added = []
    for box in texts:
        if box.text in known:
            known.remove(box.text)
        else:
            added.append(box)
    on_text = sum(any(box is not other and box.touches(other) for other in texts) for box in added)
    return len(added), on_text, sum(any(box.touches(head) for head in heads) for box in added)


def main(scores: list[str]) -> None:
    """Measure each score in each house style."""
    with TemporaryDirectory() as folder:
        for score in map(Path, scores):
            for style in STYLES:
                house = house_file(Path(folder), style)
                answer = ask("finger", score, "--house-style", house, "--format", "musicxml", "-q")
                found = collisions(score.read_bytes(), answer.data)
                print(score.stem, style, "marks {}, on text {}, on a notehead {}".format(*found), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
