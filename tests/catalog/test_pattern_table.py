"""The table of scales and patterns, and intervals by name."""

from pathlib import Path

import pytest
from music21.interval import Interval as OtherInterval
from tests.catalog.table_text import columns_of, own_table
from tests.every import every

from gripway.catalog.tables import pattern_table
from gripway.catalog.tables.pattern_table import COLUMNS, TABLE, Interval, pattern_kinds
from gripway.errors import TableError

NAMES = [f"{size}{n}" for n in (2, 3, 6, 7) for size in "MmAd"] + [
    f"{size}{n}" for n in (1, 4, 5) for size in "PA"
]


def test_the_reader_asks_for_the_columns_described() -> None:
    """The header is what tables/columns.toml says."""
    assert {column.name for column in columns_of(TABLE)} == set(COLUMNS)


@every(NAMES)
def test_intervals_are_as_wide_as_those_of_music21(name: str) -> None:
    """Letters and semitones of each name agree with an independent library."""
    other = OtherInterval(name)
    assert Interval.parse(name) == Interval(other.generic.undirected - 1, other.semitones)


@pytest.mark.parametrize("name", ["P3", "M5", "m4", "X2", "M", "P8", "m1", "5"])
def test_what_is_no_interval_is_refused(name: str) -> None:
    """Perfect and major sizes are not mixed up."""
    with pytest.raises(ValueError, match="interval"):
        Interval.parse(name)


def test_only_melodic_minor_and_the_chromatic_scale_differ_on_the_way_down() -> None:
    """Common practice, no source; and every kind has at least three notes."""
    kinds = pattern_kinds().values()
    assert {kind.id for kind in kinds if kind.down != kind.up} == {"melodic-minor", "chromatic"}
    assert min(len(kind.up) for kind in kinds) == 3


@pytest.mark.parametrize(
    ("row", "column"),
    [
        ("a,scale,major,step,P1 M9,,taught,common-practice,", "up"),
        ("a,scale,major,step,P1 M2,P3,taught,common-practice,", "down"),
        ("a,scale,dorian,step,P1 M2,,taught,common-practice,", "keys"),
        ("a,scale,major,fourths,P1 M2,,taught,common-practice,", "order"),
    ],
)
def test_a_wrong_cell_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, row: str, column: str
) -> None:
    """Table, line and column are in the error."""
    own_table(tmp_path, monkeypatch, pattern_table, TABLE, COLUMNS, [row])
    with pytest.raises(TableError, match=f"{TABLE}:2:{column}"):
        pattern_kinds.__wrapped__()
