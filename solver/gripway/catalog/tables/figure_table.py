"""Tables of single figures: a row an id, read into a dataclass whose fields are the ids."""

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


def scale(table: str, columns: tuple[str, ...] = FIGURE_COLUMNS) -> dict[str, float]:
    """The numbers of the second column by the words of the first."""
    return {row.text(columns[0]): row.decimal(columns[1]) for row in rows_of(table, columns)}


def figures(table: str, kind: type[F]) -> F:
    """The figures of a table, whole numbers where a field is one; units as in the table.

    Raises TableError for a cell that is no number, and for rows that are missing or no field.
    """
    values = scale(table)
    wanted = {field.name: field.type for field in fields(kind)}  # type: ignore[arg-type]
    if wrong := wanted.keys() ^ values.keys():
        raise TableError(
            f"figures missing or not known: {', '.join(sorted(wrong))}",
            place=table,
            next_step=f"Each row's id must be a field of {kind.__name__}",
        )
    return kind(**{key: int(value) if wanted[key] is int else value for key, value in values.items()})
