"""The sizes behind what is heard in a recording: tables/listening as frozen, named values."""

from dataclasses import dataclass
from functools import cache

from gripway.catalog.tables.figure_table import figures


@dataclass(frozen=True, slots=True)
class CentsFigures:
    """The rows of tables/listening/cents.csv; each field is a row's id."""

    block_takes: int
    least_takes: int
    take_least_s: float
    false_start_s: float
    note_least_s: float
    attack_s: float
    release_s: float
    silence_below_db: float
    gap_least_db: float
    dip_db: float
    change_cents: float
    off_most_cents: float
    other_note_cents: float
    standard_most_cents: float
    clear_least_db: float
    clipped_most_share: float
    wander_most_cents: float
    spread_least_cents: float
    reference_least_pitches: int
    reference_low_hz: float
    reference_high_hz: float
    card_grips: int
    card_tried_grips: int


@cache
def cents_figures() -> CentsFigures:
    """The figures of takes and their cents. Raises TableError as `figures` does."""
    return figures("listening/cents.csv", CentsFigures)
