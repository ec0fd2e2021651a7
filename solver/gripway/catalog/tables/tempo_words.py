"""Tempo words with the beats a minute gripway gives them where a score has no number."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from gripway.catalog.tables.csv_table import read_rows
from gripway.catalog.tables.locator import tables_folder

TEMPO_WORD_COLUMNS = ("word", "beats_per_minute", "how", "source", "note")


@cache
def tempo_words() -> Mapping[str, float]:
    """Beats a minute by tempo word in lower case, read once.

    A beat is a quarter, in compound metres a dotted quarter, in x/2 metres a half.

    >>> tempo_words()["presto"]
    176.0
    """
    table = "tempo_words.csv"
    rows = read_rows(tables_folder() / table, table, TEMPO_WORD_COLUMNS)
    return MappingProxyType({row.text("word"): float(row.number("beats_per_minute")) for row in rows})
