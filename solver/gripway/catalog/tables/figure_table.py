"""Tables of single figures: a row an id, which ends in its unit, and in code a field of that name."""

import re
from dataclasses import fields
from typing import TypeVar

from gripway.catalog.tables.csv_table import Row, read_rows
from gripway.catalog.tables.locator import tables_folder
from gripway.errors import TableError

F = TypeVar("F")

FIGURE_COLUMNS = ("id", "value", "unit", "what", "how", "source", "locator")


def rows_of(table: str, columns: tuple[str, ...] = FIGURE_COLUMNS) -> tuple[Row, ...]:
    """The rows of a table by its path below the folder of tables. Raises TableError as `read_rows`."""
    return read_rows(tables_folder() / table, table, columns)


def scale(table: str, columns: tuple[str, ...]) -> dict[str, float]:
    """The numbers of the second column by the words of the first."""
    return {row.text(columns[0]): row.decimal(columns[1]) for row in rows_of(table, columns)}


def unit_ending(unit: str) -> str:
    """What the id of a figure ends in.

    >>> unit_ending("note number")
    'note_number'
    """
    return re.sub(r"\W+", "_", unit.lower()).strip("_")


def without_unit(row: Row) -> str:
    """The id of a figure without its unit; it stays when the figure is told in another one.

    Raises TableError where the id does not end in the row's unit.
    """
    name, ending = row.text("id"), unit_ending(row.text("unit"))
    if not name.endswith(f"_{ending}"):
        raise row.error("id", f"{name!r} does not end in its unit, _{ending}")
    return name.removesuffix(f"_{ending}")


def named_figures(table: str) -> dict[str, float]:
    """The figures of a table by id. Raises TableError as `without_unit`, and for what is no number."""
    rows = rows_of(table)
    for row in rows:
        without_unit(row)
    return {row.text("id"): row.decimal("value") for row in rows}


def figures(table: str, kind: type[F]) -> F:
    """The figures of a table, whole numbers where a field is one; units as in the table.

    Raises TableError as `named_figures`, and for rows that are missing or no field.
    """
    values = named_figures(table)
    wanted = {field.name: field.type for field in fields(kind)}  # type: ignore[arg-type]
    if wrong := wanted.keys() ^ values.keys():
        raise TableError(
            f"figures missing or not known: {', '.join(sorted(wrong))}",
            place=table,
            next_step=f"Each row's id must be a field of {kind.__name__}",
        )
    return kind(**{key: int(value) if wanted[key] is int else value for key, value in values.items()})
