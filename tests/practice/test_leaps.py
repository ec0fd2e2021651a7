"""Leaps up that are worked on: large ones that come again, soft slurs that go far up."""

import pytest
from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES, TABLES

from gripway.practice.ways.fitting_bars import fitting_bars

PLAIN = "A5:1/4 B5:1/4 A5:1/4 B5:1/4"


@pytest.mark.parametrize(
    ("bars", "found"),
    [
        ("f A5:1/4 F#6:1/4 A5:1/4 F#6:1/4 A5:1/4 F#6:1/4 D6:1/2", [("2", "4")]),
        ("f A5:1/4 F#6:1/4 A5:1/4 F#6:1/4", []),
        ("f A5:1/4 F6:1/4 A5:1/4 F6:1/4 A5:1/4 F6:1/4 D6:1/2", []),
        ("pp (E4:1/8 B4:1/8 E5:1/8 B5:1/8 E6:1/2)", [("2", "3")]),
        ("f (E4:1/8 B4:1/8 E5:1/8 B5:1/8 E6:1/2)", []),
        ("pp (E5:1/8 F#5:1/8 G#5:1/8 B5:1/8 E6:1/2)", []),
    ],
)
def test_leaps_are_work_where_they_come_again_or_go_up_softly(
    bars: str, found: list[tuple[str, str]]
) -> None:
    """Sixths three times, not fifths nor two; a soft slur far up, none that is loud or goes by steps."""
    notes = barred(f"f {PLAIN} {bars} {PLAIN}", 100).notes
    there = fitting_bars(notes, TABLES.ways["leaps"], FIGURES)
    assert [(notes[first].bar, notes[last].bar) for first, last in there] == found
