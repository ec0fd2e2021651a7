"""The breath in a blown flute, read from tables/acoustics/breath.csv."""

from functools import cache

from gripway.catalog.flute.grip_cells import HOWS
from gripway.catalog.tables.csv_table import read_rows
from gripway.catalog.tables.locator import tables_folder
from gripway.errors import TableError

BREATH_COLUMNS = ("at_embouchure_c", "fall_c_per_m", "speed_factor", "how", "source", "locator")
TABLE = "acoustics/breath.csv"


@cache
def breath_figures() -> tuple[float, float, float]:
    """Temperature at the embouchure (C), its fall toward the foot (C/m), speed of sound over that of dry air.

    Raises TableError when the table has not one row, or the row breaks its rules.

    >>> at_embouchure_c, fall_c_per_m, speed_factor = breath_figures()
    >>> at_embouchure_c > 20.0
    True
    """
    rows = list(read_rows(tables_folder() / TABLE, TABLE, BREATH_COLUMNS))
    if len(rows) != 1:
        raise TableError(
            f"{len(rows)} rows, where there is one breath",
            place=TABLE,
            next_step="Leave one row",
        )
    (row,) = rows
    row.choice("how", HOWS)
    return (
        row.decimal("at_embouchure_c", "degrees Celsius"),
        row.decimal("fall_c_per_m", "degrees Celsius per metre"),
        row.decimal("speed_factor", "a share"),
    )
