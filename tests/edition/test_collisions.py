"""Marks of an edition stand on no other text and on no notehead, measured on the engraver's boxes."""

from pathlib import Path

import pytest
from tests.cli.house_styles import house_file
from tests.cli.run_gripway import FLUTE, ask
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
