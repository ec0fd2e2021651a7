"""Strict reading of one CSV table: exact columns, and a place for every complaint."""

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from gripway.errors import TableError

V = TypeVar("V")

REPORT = "This is a fault of gripway's own tables; please report it"


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its cells by column name, and where it stands (`table` and line, from 1)."""

    table: str
    line: int
    cells: Mapping[str, str]

    def text(self, column: str) -> str:
        """The cell, which must not be empty."""
        if not self.cells[column]:
            raise self.error(column, "the cell is empty")
        return self.cells[column]

    def words(self, column: str) -> tuple[str, ...]:
        """The space-separated words of the cell; an empty cell has none."""
        return tuple(self.cells[column].split())

    def number(self, column: str) -> int:
        """The cell as a whole number."""
        try:
            return int(self.cells[column])
        except ValueError:
            raise self.error(column, f"{self.cells[column]!r} is not a whole number") from None

    def decimal(self, column: str, unit: str = "") -> float:
        """The cell as a number, of `unit` where that is told."""
        try:
            return float(self.text(column))
        except ValueError:
            of = f" of {unit}" if unit else ""
            raise self.error(column, f"{self.cells[column]!r} is not a number{of}") from None

    def choice(self, column: str, values: Mapping[str, V]) -> V:
        """What the cell's word stands for, out of `values`."""
        word = self.cells[column]
        if word not in values:
            raise self.error(column, f"{word!r} is none of {', '.join(values)}")
        return values[word]

    def error(self, column: str, what: str) -> TableError:
        """A TableError placed at this row and column, to be raised by whoever found the fault."""
        return TableError(what, place=f"{self.table}:{self.line}:{column}", next_step=REPORT)


def read_rows(path: Path, table: str, columns: Sequence[str]) -> tuple[Row, ...]:
    """All rows of a CSV file whose header is exactly `columns`.

    `table` is the name used in places: the path below the folder of tables. Raises
    TableError when the file is missing, is not UTF-8, or a line has not one cell a column.
    """
    try:
        with path.open(encoding="utf-8", newline="") as stream:
            reader = csv.reader(stream, strict=True)
            header = next(reader, [])
            if header != list(columns):
                raise TableError(
                    f"the columns are {','.join(header)}; they must be {','.join(columns)}",
                    place=f"{table}:1",
                    next_step=REPORT,
                )
            return tuple(_row(table, reader.line_num, columns, cells) for cells in reader)
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise TableError(f"the table cannot be read ({error})", place=table, next_step=REPORT) from error


def _row(table: str, line: int, columns: Sequence[str], cells: list[str]) -> Row:
    if len(cells) != len(columns):
        raise TableError(
            f"the row has {len(cells)} cells; the table has {len(columns)} columns",
            place=f"{table}:{line}",
            next_step=REPORT,
        )
    return Row(table, line, dict(zip(columns, cells, strict=True)))
