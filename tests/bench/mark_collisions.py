"""Fingerings that lie on another text or on a notehead, as verovio sets marked parts.

    python -m tests.bench.mark_collisions WHICH SCORE...

WHICH is how marks are chosen (needed, figures, ...). Counted are pairs of boxes that overlap by more than a
tenth of a staff space in both directions: a fingering with another text, and with a notehead.
"""

import sys
import xml.etree.ElementTree as ET
from pathlib import Path
from tempfile import TemporaryDirectory

import verovio
from tests.cli.run_gripway import ask

SPACE = 180.0
"""A staff space in verovio's units at scale 100."""

TEXTS = ("fing", "dynam", "dir", "tempo", "syl", "mNum", "reh", "trill")
Box = tuple[float, float, float, float]


def shift(element: ET.Element) -> tuple[float, float]:
    """The translation of a group."""
    text = element.get("transform", "")
    if not text.startswith("translate("):
        return 0.0, 0.0
    x, y = text[len("translate(") : text.index(")")].split(",")
    return float(x), float(y)


def boxes(element: ET.Element, at: tuple[float, float] = (0.0, 0.0), name: str = "") -> list[tuple[str, Box]]:
    """Every bounding box below an element, with the class of the nearest element that has a name here."""
    dx, dy = shift(element)
    at = at[0] + dx, at[1] + dy
    words = element.get("class", "").split()
    own = next((word for word in words if word in (*TEXTS, "notehead")), name)
    found = []
    for child in element:
        if child.tag.endswith("rect") and "bounding-box" in words and own:
            x, y = float(child.get("x", 0)) + at[0], float(child.get("y", 0)) + at[1]
            found.append((own, (x, y, float(child.get("width", 0)), float(child.get("height", 0)))))
        else:
            found += boxes(child, at, own)
    return found


def overlap(one: Box, other: Box) -> bool:
    """Whether two boxes overlap by more than a tenth of a staff space each way."""
    wide = min(one[0] + one[2], other[0] + other[2]) - max(one[0], other[0])
    high = min(one[1] + one[3], other[1] + other[3]) - max(one[1], other[1])
    return wide > SPACE / 10 and high > SPACE / 10


def collisions(data: str) -> tuple[int, int, int]:
    """Fingerings, those on another text, those on a notehead, over all pages."""
    toolkit = verovio.toolkit()
    toolkit.setOptions(
        {"svgBoundingBoxes": True, "adjustPageHeight": True, "footer": "none", "header": "none"}
    )
    toolkit.loadData(data)
    marks = on_text = on_head = 0
    for page in range(1, toolkit.getPageCount() + 1):
        all_boxes = [each for each in boxes(ET.fromstring(toolkit.renderToSVG(page))) if each[1][2] > 0]
        texts = [(k, each) for k, each in enumerate(all_boxes) if each[0] in TEXTS]
        heads = [box for name, box in all_boxes if name == "notehead"]
        for k, (name, box) in texts:
            if name != "fing":
                continue
            marks += 1
            on_text += any(j != k and other != box and overlap(box, other) for j, (_, other) in texts)
            on_head += any(overlap(box, head) for head in heads)
    return marks, on_text, on_head


def main(which: str, scores: list[str]) -> None:
    """Print fingerings and collisions of each score, marked as asked."""
    verovio.enableLog(verovio.LOG_OFF)
    print("marks", "on text", "on head", sep="\t")
    with TemporaryDirectory() as folder:
        for score in scores:
            out = Path(folder) / f"marked{Path(score).suffix}"
            ask("finger", score, "--mark", which, "--format", "musicxml", "--out", out)
            print(*collisions(out.read_text(encoding="utf-8")), score, sep="\t", flush=True)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2:])
