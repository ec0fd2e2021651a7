"""The tables of practice: kinds, rhythms, sizes."""

import pytest
from tests.catalog.table_text import columns_of

from gripway.catalog.tables import figure_table, practice_figures
from gripway.catalog.tables.figure_table import FIGURE_COLUMNS
from gripway.catalog.tables.practice_figures import (
    DRILL_COLUMNS,
    LEVEL_COLUMNS,
    ORDER_COLUMNS,
    RHYTHM_COLUMNS,
    WAY_COLUMNS,
    practice_tables,
)
from gripway.errors import TableError


@pytest.mark.parametrize(
    ("table", "read"),
    [
        ("figures", FIGURE_COLUMNS),
        ("exposure", FIGURE_COLUMNS),
        ("health", FIGURE_COLUMNS),
        ("drills", DRILL_COLUMNS),
        ("rhythms", RHYTHM_COLUMNS),
        ("sound_levels", LEVEL_COLUMNS),
        ("orders", ORDER_COLUMNS),
        ("ways", WAY_COLUMNS),
    ],
)
def test_the_reader_asks_for_the_columns_described(table: str, read: tuple[str, ...]) -> None:
    """A reader's own list of columns cannot drift from the description."""
    assert tuple(column.name for column in columns_of(f"practice/{table}.csv")) == read


def test_the_rhythms() -> None:
    """LS, SL, LSSS, SSSL, SLSS, SSLS (Garrison) and two of three notes, each as long and short steps."""
    assert [rhythm.name for rhythm in practice_tables().rhythms] == [
        "LS",
        "SL",
        "LSSS",
        "SSSL",
        "SLSS",
        "SSLS",
        "LSS",
        "SSL",
    ]
    assert all(len(rhythm.name) == len(rhythm.steps) for rhythm in practice_tables().rhythms)


def test_times_are_what_teachers_say() -> None:
    """Rests of 30 s, 15 minutes a day on one spot at most (Kaufman); six notches (Wion)."""
    figures = practice_tables().figures
    assert (figures.rest_s, figures.spot_most_min, figures.sitting_notches) == (30, 15, 6)
    assert isinstance(figures.sitting_notches, int)


def test_a_rhythm_whose_steps_contradict_its_name_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """LS with steps 1 3 is named by table and column."""
    real = figure_table.read_rows

    def spoilt(*words: object) -> object:
        rows = real(*words)  # type: ignore[arg-type]
        return [type(row)(row.table, row.line, {**row.cells, "steps": "1 3"}) for row in rows]

    monkeypatch.setattr(figure_table, "read_rows", spoilt)
    with pytest.raises(TableError, match=r"rhythms\.csv:2:steps"):
        [
            practice_figures._rhythm(row)
            for row in figure_table.rows_of("practice/rhythms.csv", RHYTHM_COLUMNS)
        ]
