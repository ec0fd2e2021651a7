"""How far uneven regulation spreads a pitch, by octave: tables/acoustics/regulation.csv."""

from functools import cache

from gripway.catalog.tables.csv_table import read_rows
from gripway.catalog.tables.locator import tables_folder

REGULATION_COLUMNS = ("octave", "spread_cents", "how", "source", "locator")
TABLE = "acoustics/regulation.csv"


@cache
def regulation_cents() -> tuple[float, ...]:
    """Spread in cents of the first, second and third octave (from C4, C5, C6 on)."""
    rows = read_rows(tables_folder() / TABLE, TABLE, REGULATION_COLUMNS)
    return tuple(float(row.number("spread_cents")) for row in rows)
