"""Where the acoustic model draws its lines: tables/acoustics/limits.csv as frozen, named values."""

from dataclasses import dataclass, fields
from functools import cache

from gripway.catalog.tables.csv_table import Row, read_rows
from gripway.catalog.tables.locator import tables_folder
from gripway.errors import TableError

LIMIT_COLUMNS = ("id", "value", "unit", "what", "how", "source", "locator")
TABLE = "acoustics/limits.csv"


@dataclass(frozen=True, slots=True)
class Limits:
    """The figures of tables/acoustics/limits.csv; each field is a row's id, unit as there."""

    audible: float
    small_hole: float
    sounds_cents: float
    sounds_loss: float
    free_cents: float
    free_gap: float
    free_gap_wide: float
    free_loss: float
    free_below: float
    found_cents: float
    found_cents_most: float
    found_loss: float
    found_gap: float
    found_fingers: float
    found_idle: float


@cache
def acoustic_limits() -> Limits:
    """Read the table once; TableError names the cell that is wrong, or rows missing or not known."""
    rows = read_rows(tables_folder() / TABLE, TABLE, LIMIT_COLUMNS)
    values = {row.text("id"): _number(row) for row in rows}
    if wrong := {field.name for field in fields(Limits)} ^ values.keys():
        raise TableError(
            f"limits missing or not known: {', '.join(sorted(wrong))}",
            place=TABLE,
            next_step="Each row's id must be a field of Limits",
        )
    return Limits(**values)


def _number(row: Row) -> float:
    try:
        return float(row.cells["value"])
    except ValueError:
        raise row.error("value", f"{row.cells['value']!r} is not a number") from None
