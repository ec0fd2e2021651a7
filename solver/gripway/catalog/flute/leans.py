"""Words for where a grip's pitch leans, with the size in cents gripway gives each."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from gripway.catalog.tables.csv_table import read_rows
from gripway.catalog.tables.locator import tables_folder

LEAN_WORD_COLUMNS = ("word", "cents", "spread_cents", "source", "how", "note")


@dataclass(frozen=True, slots=True)
class LeanWord:
    """A word such as `lower` with its size and its range: judgements, in tables/tuning/lean_words.csv."""

    word: str
    cents: float
    spread_cents: float


@cache
def lean_words() -> Mapping[str, LeanWord]:
    """All words by their name, read once.

    >>> lean_words()["sharp"].cents
    15.0
    """
    table = "tuning/lean_words.csv"
    rows = read_rows(tables_folder() / table, table, LEAN_WORD_COLUMNS)
    return MappingProxyType(
        {
            row.text("word"): LeanWord(
                row.text("word"), float(row.number("cents")), float(row.number("spread_cents"))
            )
            for row in rows
        }
    )
