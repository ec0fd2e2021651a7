"""The two player terms of each bore."""

from pathlib import Path

import pytest
from tests.catalog.table_text import columns_of, own_table

from gripway.catalog.flute import player_terms as module
from gripway.catalog.flute.instruments import instrument_names
from gripway.catalog.flute.player_terms import PLAYER_COLUMNS, TABLE, player_term, player_terms
from gripway.catalog.tables.locator import tables_folder
from gripway.errors import TableError


def test_every_bore_has_its_player_and_every_player_its_bore() -> None:
    """One row a bore, none left over."""
    found = {
        path.stem
        for name in instrument_names()
        for path in (tables_folder() / "instruments" / name).glob("bore*.csv")
    }
    assert found == set(player_terms())


def test_the_reader_asks_for_the_columns_that_are_described() -> None:
    """The reader's own list of columns is that of columns.toml."""
    assert tuple(column.name for column in columns_of(TABLE)) == PLAYER_COLUMNS


def test_an_unknown_bore_is_refused_with_the_known_ones() -> None:
    """The error names the table, the bores it has and what to do."""
    with pytest.raises(TableError, match=r"bore_of_glass.*bore_scheme") as caught:
        player_term("bore_of_glass")
    assert "Fit the two terms" in str(caught.value)


@pytest.mark.parametrize(
    ("rows", "fault"),
    [
        ("a,1,2,C4..C#6,modelled,own-model,\na,1,2,C4..C#6,modelled,own-model,", r"player\.csv:3:bore"),
        ("a,much,2,C4..C#6,modelled,own-model,", r"player\.csv:2:inertance_per_m"),
        ("a,1,,C4..C#6,modelled,own-model,", r"player\.csv:2:growth_per_m"),
        ("a,1,2,C4..C#6,guessed,own-model,", r"player\.csv:2:how"),
    ],
)
def test_a_faulty_row_is_refused_with_its_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, rows: str, fault: str
) -> None:
    """File, line and column of the fault stand in the error."""
    own_table(tmp_path, monkeypatch, module, TABLE, PLAYER_COLUMNS, [rows])
    with pytest.raises(TableError, match=fault):
        player_terms.__wrapped__()
