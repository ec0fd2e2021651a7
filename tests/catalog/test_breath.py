"""The breath in a blown flute."""

from pathlib import Path

import pytest
from tests.catalog.table_text import columns_of, own_table

from gripway.catalog.flute import breath as module
from gripway.catalog.flute.breath import BREATH_COLUMNS, TABLE, breath_figures
from gripway.errors import TableError


def test_the_reader_asks_for_the_columns_that_are_described() -> None:
    """The reader's own list of columns is that of columns.toml."""
    assert tuple(column.name for column in columns_of(TABLE)) == BREATH_COLUMNS


def test_breath_lies_between_a_room_and_the_body_and_cools_toward_the_foot() -> None:
    """Warmer than a room of 20 C, cooler than a body of 37 C; slower by less than 1 % than dry air."""
    # common practice, no source; carbon dioxide is heavier than air and slows the sound
    at_embouchure_c, fall_c_per_m, speed_factor = breath_figures()
    assert 20.0 < at_embouchure_c < 37.0
    assert 0.0 < fall_c_per_m < 17.0
    assert 0.99 < speed_factor < 1.0


@pytest.mark.parametrize(
    ("rows", "fault"),
    [
        ("30,7,1,measured,x,\n30,7,1,measured,x,", "2 rows"),
        ("warm,7,1,measured,x,", r"breath\.csv:2:at_embouchure_c"),
        ("30,7,1,guessed,x,", r"breath\.csv:2:how"),
    ],
)
def test_a_faulty_table_is_refused_with_its_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, rows: str, fault: str
) -> None:
    """File, line and column of the fault stand in the error."""
    own_table(tmp_path, monkeypatch, module, TABLE, BREATH_COLUMNS, [rows])
    with pytest.raises(TableError, match=fault):
        breath_figures.__wrapped__()
