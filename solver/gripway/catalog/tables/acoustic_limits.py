"""Where the acoustic model draws its lines: tables/acoustics/limits.csv as frozen, named values."""

from dataclasses import dataclass
from functools import cache

from gripway.catalog.tables.figure_table import figures

TABLE = "acoustics/limits.csv"


@dataclass(frozen=True, slots=True)
class AcousticLimits:
    """The figures of tables/acoustics/limits.csv; each field is a row's id."""

    audible_ratio: float
    small_hole_mm: float
    sounds_cents: float
    sounds_loss_ratio: float
    free_cents: float
    free_gap_cents: float
    free_gap_wide_cents: float
    free_loss_share: float
    free_below_note_number: float
    found_cents: float
    found_most_cents: float
    found_loss_ratio: float
    found_gap_cents: float
    found_fingers: float
    found_idle_fingers: float


@cache
def acoustic_limits() -> AcousticLimits:
    """Read the table once; TableError names the cell that is wrong, or rows missing or not known."""
    return figures(TABLE, AcousticLimits)
