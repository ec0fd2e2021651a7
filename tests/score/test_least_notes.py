"""Notes counted in the bytes of a score: never more than are read."""

from pathlib import Path

import pytest
from tests.bench.passages import score_text
from tests.score.small_scores import bar, note, score

from gripway.score.reading.score_reading import load_score, read_score
from gripway.score.xml.least_notes import least_notes

DATA = Path(__file__).parents[1] / "data"


def test_a_plain_line_is_counted_to_the_note() -> None:
    """In UTF-8 and in UTF-16 alike."""
    text = score_text(50)
    assert least_notes(text.encode(), "utf-8") == 50
    assert least_notes(text.encode("utf-16-le"), "utf-16-le") == 50


@pytest.mark.parametrize("path", sorted(DATA.glob("*.musicxml")), ids=lambda path: path.stem)
def test_real_parts_have_no_fewer(path: Path) -> None:
    """Ties, chords, rests and repeats are not taken for notes, and most notes are counted."""
    played = len(load_score(path).passage.notes)
    assert played // 2 < least_notes(path.read_bytes(), "utf-8") <= played


RESTS_AND_CHORDS = score(bar(note("C5") + note("E5", before="<chord/>") + note("D5") + note("r")))


def test_rests_and_chords_are_taken_off() -> None:
    """Three notes and a rest of which two are heard as notes of their own."""
    assert least_notes(RESTS_AND_CHORDS, "utf-8") == len(read_score(RESTS_AND_CHORDS, "x").passage.notes) == 2


@pytest.mark.parametrize("odd", ['<part id="P2"></part>', "<voice>2</voice>", "<measure-repeat/>"])
def test_where_the_bytes_do_not_say_it_is_none(odd: str) -> None:
    """Several parts, voices, or bars that stand for others."""
    assert least_notes((score_text(50) + odd).encode(), "utf-8") == 0
