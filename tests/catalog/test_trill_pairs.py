"""The figures trills are ranked by."""

from pathlib import Path

import pytest
from tests.catalog.table_text import columns_of, own_table

from gripway.catalog.tables import figure_table
from gripway.catalog.tables.figure_table import FIGURE_COLUMNS
from gripway.catalog.tables.trill_pairs import TABLE, pair_figures
from gripway.errors import TableError


def test_the_order_of_the_figures_is_the_one_that_is_taught() -> None:
    """One easy finger, another one, two together, two hands, a swap, sliding, the thumb sliding."""
    f = pair_figures()
    easy, other = ([f.finger(name) for name in names.split()] for names in ("L1 L2 R1 R2", "LT L3 L4 R3 R4"))
    assert max(easy) < min(other)
    assert (
        max(other)
        < f.together_points
        < f.two_hands_points
        < f.swap_points
        < f.slide_points
        < f.thumb_slide_points
    )
    assert 0.0 < f.sharp_upper_factor < 1.0
    assert f.printed_medium_points < f.printed_low_points < f.known_points < f.found_points


def test_the_reader_asks_for_the_columns_that_are_described() -> None:
    """The same names in the same order."""
    assert tuple(column.name for column in columns_of(TABLE)) == FIGURE_COLUMNS


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("slide_points,two,points,x,judgement,own-judgement,", "not a number"),
        ("slide,2,points,x,judgement,own-judgement,", "end in its unit"),
        ("slide_points,2,effort,x,judgement,own-judgement,", "end in its unit"),
        ("", "missing"),
    ],
)
def test_a_faulty_table_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, rows: str, words: str
) -> None:
    """A word for a number, a name without its unit, or rows that lack, raise TableError with the place."""
    own_table(tmp_path, monkeypatch, figure_table, TABLE, FIGURE_COLUMNS, rows.splitlines())
    with pytest.raises(TableError, match=words):
        pair_figures.__wrapped__()
