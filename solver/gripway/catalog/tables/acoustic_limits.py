"""Where the acoustic model draws its lines: tables/acoustics/limits.csv as frozen, named values."""

from dataclasses import dataclass
from functools import cache

from gripway.catalog.tables.figure_table import figures

TABLE = "acoustics/limits.csv"


@dataclass(frozen=True, slots=True)
class AcousticLimits:
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
def acoustic_limits() -> AcousticLimits:
    """Read the table once; TableError names the cell that is wrong, or rows missing or not known."""
    return figures(TABLE, AcousticLimits)
