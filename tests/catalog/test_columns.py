"""The description of every column, and the canonical text of every table."""

from pathlib import Path

import pytest
from tests.catalog.table_text import allowed, canonical_text, columns_of, csv_lines, csv_tables
from tests.every import every

from gripway.catalog.flute.grips import GRIP_COLUMNS
from gripway.catalog.flute.instruments import HOLE_COLUMNS, REACH_COLUMNS
from gripway.catalog.flute.leans import LEAN_WORD_COLUMNS
from gripway.catalog.flute.trills import TRILL_COLUMNS
from gripway.catalog.tables import column_descriptions as columns
from gripway.catalog.tables.column_descriptions import described_columns
from gripway.catalog.tables.locator import tables_folder
from gripway.errors import TableError


@every(csv_tables())
def test_every_table_has_exactly_the_columns_described_for_it(table: str) -> None:
    """Header and description name the same columns in the same order."""
    header = csv_lines(tables_folder() / table)[0]
    assert [column.name for column in columns_of(table)] == header


@every(csv_tables())
def test_every_cell_holds_only_words_its_column_allows(table: str) -> None:
    """A cell of a column with a list of words holds nothing else."""
    for line, cells in enumerate(csv_lines(tables_folder() / table)[1:], start=2):
        for column, cell in zip(columns_of(table), cells, strict=True):
            assert allowed(column, cell), f"{table}:{line}:{column.name} holds {cell!r}"


@every(csv_tables())
def test_reading_and_writing_a_table_gives_the_same_bytes(table: str) -> None:
    """Every table stands in its canonical text."""
    path = tables_folder() / table
    assert canonical_text(csv_lines(path)).encode() == path.read_bytes()


def test_no_description_is_left_without_a_table() -> None:
    """Each described table exists: a dropped table takes its description along."""
    used = {columns_of(table) for table in csv_tables()}
    assert set(described_columns().values()) == used


@pytest.mark.parametrize(
    ("table", "read"),
    [
        ("grips/concert-flute.csv", GRIP_COLUMNS),
        ("trills/concert-flute.csv", TRILL_COLUMNS),
        ("tuning/lean_words.csv", LEAN_WORD_COLUMNS),
        ("instruments/concert-flute/reach.csv", REACH_COLUMNS),
        ("instruments/concert-flute/holes.csv", HOLE_COLUMNS),
    ],
)
def test_the_readers_ask_for_the_columns_that_are_described(table: str, read: tuple[str, ...]) -> None:
    """A reader's own list of columns cannot drift from the description."""
    assert tuple(column.name for column in columns_of(table)) == read


def test_a_description_with_an_unknown_key_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A slip in columns.toml is named by its place."""
    (tmp_path / "columns.toml").write_text('["a.csv".b]\nwhat = "x"\nunits = "cents"\n')
    monkeypatch.setattr(columns, "tables_folder", lambda: tmp_path)
    with pytest.raises(TableError, match=r"columns\.toml:.*units"):
        described_columns.__wrapped__()
