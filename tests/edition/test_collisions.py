"""Marks of an edition stand on no other text and on no notehead, measured on the engraver's boxes."""

from pathlib import Path

import pytest
from tests.cli.house_styles import house_file
from tests.cli.run_gripway import FLUTE, ask
from tests.edition import lilypond_boxes
from tests.edition.boxes import Box
from tests.edition.collisions import collisions

ENOUGH = ("--format", "musicxml", "-q")


@pytest.mark.whole
@pytest.mark.parametrize("style", ["figures", "difference", "stacked"])
def test_no_mark_touches_anything(style: str, tmp_path: Path) -> None:
    """In a real part engraved by verovio: no text on text, none on a notehead."""
    marked = ask("finger", FLUTE, "--house-style", house_file(tmp_path, style), *ENOUGH).data
    marks, on_text, on_heads = collisions(FLUTE.read_bytes(), marked)
    assert marks > 5
    assert (on_text, on_heads) == (0, 0)


@pytest.mark.whole
def test_the_measure_sees_what_touches() -> None:
    """Grips written out at every note are too wide for quick ones, and that is found."""
    marked = ask("finger", FLUTE, "--mark", "every", *ENOUGH).data
    marks, on_text, _ = collisions(FLUTE.read_bytes(), marked)
    assert 0 < on_text < marks


@pytest.mark.whole
@pytest.mark.skipif(not lilypond_boxes.CAN_MEASURE, reason="lilypond, musicxml2ly or chromium is not there")
def test_no_mark_touches_anything_in_lilypond(tmp_path: Path) -> None:
    """Marks as words, which its converter takes: letters and noteheads stand clear of each other."""
    score = FLUTE.parents[2] / "examples" / "kettle_trills.musicxml"
    marked = ask("finger", score, "--house-style", house_file(tmp_path, "words"), *ENOUGH).data
    marks, on_text, on_heads = collisions(score.read_bytes(), marked, lilypond_boxes.boxes)
    assert marks > 2
    assert (on_text, on_heads) == (0, 0)


def test_letters_tell_whether_two_texts_touch() -> None:
    """Boxes of whole texts that share a corner do not touch where no letter stands in it."""
    low = Box(1, 0, 10, 40, 20, "low high", (Box(1, 0, 12, 15, 20), Box(1, 20, 10, 40, 20)))
    over = Box(1, 0, 0, 18, 11, "over", (Box(1, 0, 0, 18, 11),))
    assert not low.touches(over)
    assert not over.touches(low)
    assert Box(1, 0, 10, 40, 20).touches(Box(1, 0, 0, 18, 11))
    assert low.touches(Box(1, 25, 5, 30, 15))
    assert not low.touches(Box(2, 25, 5, 30, 15))
