"""Marks per 100 written notes, part by part and for each way of choosing them.

    python -m tests.bench.mark_density SCORE...

A mark is one sign; where a note has two, they count as two.
"""

import sys
from statistics import median

from gripway.edition.marks import marking
from gripway.model.figures import first_times
from gripway.model.house_style import WHICH, HouseStyle
from gripway.model.player import PLAIN_PLAYER
from gripway.tasks.editions import edit
from gripway.tasks.flutes import choose_instrument
from gripway.tasks.scores import read

MOST = 4.0
"""What nine parts in ten, and five more in a hundred, should not go beyond."""


def densities(score: str) -> tuple[int, tuple[float, ...]]:
    """The written notes of the first flute of a score, and its marks per 100 of them by WHICH."""
    reading = read(score)
    instrument, _ = choose_instrument(None, (), PLAIN_PLAYER, reading.part.sounds_semitones)
    even = edit(reading.passage, instrument).even
    notes = len(first_times(reading.passage.notes))
    found = (marking(even.route, HouseStyle(which=which), None, even.free) for which in WHICH)
    return notes, tuple(100 * sum(len(each.signs) for each in one.marked) / notes for one in found)


def main(scores: list[str]) -> None:
    """Print a line a score, then median and most of each choice."""
    print("notes", *WHICH, sep="\t")
    rows = []
    for score in scores:
        notes, row = densities(score)
        rows.append(row)
        print(notes, *(f"{each:.2f}" for each in row), score, sep="\t", flush=True)
    for which, column in zip(WHICH, zip(*rows, strict=True), strict=True):
        few = sum(each <= MOST for each in column)
        print(f"{which}: median {median(column):.2f}, most {max(column):.2f}", end=", ")
        print(f"{few} of {len(column)} up to {MOST:g}")


if __name__ == "__main__":
    main(sys.argv[1:])
