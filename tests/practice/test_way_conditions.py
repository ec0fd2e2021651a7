"""Ways of practising are for the music they are for."""

from tests.oracles.passages import played
from tests.oracles.practice import FIGURES, TABLES

from gripway.model.passage import Passage
from gripway.practice.ways.way_conditions import suits


def test_tonguing_is_for_what_is_tongued_and_quick() -> None:
    """Double tongue from sixteenths at 112 on; neither where most is slurred."""
    quick, slower = (played("E5 F5 G5 A5 G5 F5 E5 D5", tempo).notes for tempo in (112, 111))
    slurred = played("(E5 F5 G5 A5 G5 F5 E5 D5)", 120).notes

    def suited(way: str, notes: Passage | object) -> bool:
        return suits(TABLES.ways[way], notes, FIGURES)  # type: ignore[arg-type]

    assert suited("double", quick)
    assert not suited("double", slower)
    assert suited("single", slower)
    assert not any(suited(way, slurred) for way in ("single", "double"))


def test_what_is_for_all_music_asks_for_nothing_that_it_may_lack() -> None:
    """Listening is for any bars: its instruction names no kind of note."""
    words = TABLES.ways["listen"].instruction
    assert not any(kind in words for kind in ("long", "high", "low", "slur", "soft"))
