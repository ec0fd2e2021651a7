"""Rows as CSV (RFC 4180), which a spreadsheet opens without running anything in it."""

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
"""What makes a cell a formula in a spreadsheet (OWASP, CSV injection)."""


def csv_text(rows: Iterable[Mapping[str, Any]], columns: Sequence[str] = ()) -> str:
    """A heading and a line a row: `columns`, then what else the rows have, in the order in which it comes.

    Numbers stay numbers, nothing is an empty cell, and a text like a formula gets a blank before it.
    """
    kept = list(rows)
    return "".join(csv_lines(kept, tuple(dict.fromkeys((*columns, *(key for row in kept for key in row))))))


def csv_lines(rows: Iterable[Mapping[str, Any]], columns: Sequence[str]) -> Iterator[str]:
    """The same heading and lines one by one, of rows that have no other columns: no more than one is held."""
    stream = io.StringIO()
    writer = csv.DictWriter(stream, columns, lineterminator="\n")
    writer.writeheader()
    for row in rows:
        yield stream.getvalue()
        stream.seek(0)
        stream.truncate()
        writer.writerow({key: _safe(value) for key, value in row.items()})
    yield stream.getvalue()


def flat(value: Any) -> Any:
    """A value of the data as one cell of a table: lists and objects become text."""
    if isinstance(value, dict):
        return "; ".join(f"{key} {item}" for key, item in value.items())
    return "; ".join(map(str, value)) if isinstance(value, list) else value


def _safe(value: object) -> object:
    return f" {value}" if isinstance(value, str) and value.startswith(FORMULA_STARTS) else value
