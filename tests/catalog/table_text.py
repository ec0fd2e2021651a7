"""The tables as text: all of them, their cells, and the one way they are written."""

import csv
import io
from collections.abc import Iterable
from fnmatch import fnmatchcase
from pathlib import Path
from types import ModuleType

import pytest

from gripway.catalog.tables.column_descriptions import Column, described_columns
from gripway.catalog.tables.locator import tables_folder


def csv_tables() -> tuple[str, ...]:
    """The paths of all CSV tables below the folder of tables, sorted."""
    root = tables_folder()
    return tuple(sorted(path.relative_to(root).as_posix() for path in root.rglob("*.csv")))


def columns_of(table: str) -> tuple[Column, ...]:
    """The columns described for a table, given by its path; exactly one description is for it."""
    (columns,) = [columns for path, columns in described_columns().items() if fnmatchcase(table, path)]
    return columns


def csv_lines(path: Path) -> list[list[str]]:
    """Every line of a CSV file as its cells, the header first."""
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.reader(stream, strict=True))


def canonical_text(lines: Iterable[Iterable[str]]) -> str:
    """The one way gripway writes a table: commas, quotes only where needed, plain line ends."""
    stream = io.StringIO()
    csv.writer(stream, lineterminator="\n").writerows(lines)
    return stream.getvalue()


def own_table(
    folder: Path,
    patch: pytest.MonkeyPatch,
    reader: ModuleType,
    table: str,
    columns: Iterable[str],
    rows: Iterable[str],
) -> None:
    """Write a table of these rows into a folder, and let the module that reads it look there."""
    path = folder / table
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("\n".join([",".join(columns), *rows, ""]), encoding="utf-8")
    patch.setattr(reader, "tables_folder", lambda: folder)


def allowed(column: Column, cell: str) -> bool:
    """Whether a cell holds only words its column allows; an empty cell always does."""
    words = cell.split() if column.many else [cell] if cell else []
    return not column.values or set(words) <= set(column.values)
