"""The two player terms of each bore, read from tables/acoustics/player.csv."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from gripway.catalog.flute.grip_cells import HOWS
from gripway.catalog.tables.csv_table import read_rows
from gripway.catalog.tables.locator import tables_folder
from gripway.errors import TableError

PLAYER_COLUMNS = ("bore", "inertance_per_m", "growth_per_m", "fitted_on", "how", "source", "locator")
TABLE = "acoustics/player.csv"


def player_term(bore_id: str) -> tuple[float, float]:
    """What lips and face add at the embouchure of a bore: inertance (1/m), its rise an octave (1/m).

    Raises TableError when the table has no row for the bore, or a row breaks its rules.

    >>> inertance_per_m, growth_per_m = player_term("bore")
    >>> inertance_per_m > growth_per_m > 0.0
    True
    """
    terms = player_terms()
    if bore_id not in terms:
        raise TableError(
            f"there is no player term for the bore {bore_id!r}; there are those of {', '.join(terms)}",
            place=TABLE,
            next_step="Fit the two terms on the standard grips C4 to C#6 and add a row",
        )
    return terms[bore_id]


@cache
def player_terms() -> Mapping[str, tuple[float, float]]:
    """Inertance and its rise an octave (both 1/m) by the id of the bore; TableError for a faulty row."""
    found: dict[str, tuple[float, float]] = {}
    for row in read_rows(tables_folder() / TABLE, TABLE, PLAYER_COLUMNS):
        bore = row.text("bore")
        if bore in found:
            raise row.error("bore", f"{bore!r} has two rows")
        row.choice("how", HOWS)
        found[bore] = row.decimal("inertance_per_m", "1/m"), row.decimal("growth_per_m", "1/m")
    return MappingProxyType(found)
