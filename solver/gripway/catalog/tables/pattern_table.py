"""The scales and patterns of tables/practice/patterns.csv."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from gripway.catalog.tables.csv_table import Row, read_rows
from gripway.catalog.tables.locator import tables_folder

ANY, NONE = "any", "none"
STEP, THIRDS = "step", "thirds"
COLUMNS = ("pattern", "title", "keys", "order", "up", "down", "how", "source", "note")
TABLE = "practice/patterns.csv"
PLAIN_SEMITONES = (0, 2, 4, 5, 7, 9, 11)
"""Semitones of the perfect and major intervals above a note, by letters away from it."""

_INTERVAL = re.compile("([PMmAd])([1-7])")
_PERFECT = frozenset({0, 3, 4})


@dataclass(frozen=True, slots=True)
class Interval:
    """An interval above the tonic within an octave: letters and semitones away."""

    letters: int
    semitones: int

    @classmethod
    def parse(cls, text: str) -> "Interval":
        """Read an interval such as m3 or A4; ValueError when it is none.

        >>> Interval.parse("A4")
        Interval(letters=3, semitones=6)
        """
        found = _INTERVAL.fullmatch(text)
        letters = int(found[2]) - 1 if found else 0
        perfect = letters in _PERFECT
        if found is None or found[1] not in ("PAd" if perfect else "MmAd"):
            raise ValueError(f"{text!r} is no interval such as P5, M3, m3, A4 or d5")
        smaller = {"P": 0, "M": 0, "A": -1, "m": 1, "d": 1 if perfect else 2}[found[1]]
        return cls(letters, PLAIN_SEMITONES[letters] - smaller)


@dataclass(frozen=True, slots=True)
class PatternKind:
    """A scale or pattern: the keys it belongs to, its order, its notes up and down.

    `keys` is major or minor; any: it starts on any note; none: it is spelt from C.
    """

    id: str
    title: str
    keys: str
    order: str
    up: tuple[Interval, ...]
    down: tuple[Interval, ...]


@cache
def pattern_kinds() -> Mapping[str, PatternKind]:
    """The kinds by id, in the order of the table; TableError where a cell is wrong."""
    rows = read_rows(tables_folder() / TABLE, TABLE, COLUMNS)
    return MappingProxyType({row.text("pattern"): _kind(row) for row in rows})


def _kind(row: Row) -> PatternKind:
    up = _intervals(row, "up")
    return PatternKind(
        id=row.text("pattern"),
        title=row.text("title"),
        keys=row.choice("keys", {word: word for word in ("major", "minor", ANY, NONE)}),
        order=row.choice("order", {word: word for word in (STEP, THIRDS)}),
        up=up,
        down=_intervals(row, "down") or up,
    )


def _intervals(row: Row, column: str) -> tuple[Interval, ...]:
    try:
        return tuple(Interval.parse(word) for word in row.words(column))
    except ValueError as problem:
        raise row.error(column, str(problem)) from None
