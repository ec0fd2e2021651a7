"""Marked parts engraved, and the boxes of what is printed measured: marks on other texts, marks on noteheads.

    python -m tests.edition.collisions [verovio | lilypond] SCORE...

prints a line for each part and house style: marks, and how many of them touch a text or a notehead.
"""

import sys
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.cli.house_styles import house_file
from tests.cli.run_gripway import ask
from tests.edition import lilypond_boxes, verovio_boxes
from tests.edition.boxes import Box

Engraver = Callable[[bytes], tuple[list[Box], list[Box]]]
"""The texts and the noteheads of an engraved score."""

ENGRAVERS: dict[str, tuple[Engraver, tuple[str, ...]]] = {
    "verovio": (verovio_boxes.boxes, ("plain", "figures", "difference", "fitting", "stacked", "lyrics")),
    "lilypond": (lilypond_boxes.boxes, ("words",)),
}
"""With the house styles to measure: no <fingering> with a text comes through LilyPond's converter."""


def collisions(bare: bytes, marked: bytes, boxes: Engraver = verovio_boxes.boxes) -> tuple[int, int, int]:
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


def main(words: list[str]) -> None:
    """Measure each score in each house style."""
    name, scores = (words[0], words[1:]) if words[0] in ENGRAVERS else ("verovio", words)
    boxes, styles = ENGRAVERS[name]
    with TemporaryDirectory() as folder:
        for score in map(Path, scores):
            for style in styles:
                house = house_file(Path(folder), style)
                answer = ask("finger", score, "--house-style", house, "--format", "musicxml", "-q")
                try:
                    found = "marks {}, on text {}, on a notehead {}".format(
                        *collisions(score.read_bytes(), answer.data, boxes)
                    )
                except ValueError as problem:
                    found = f"not engraved: {problem}"
                print(score.stem, style, found, flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
