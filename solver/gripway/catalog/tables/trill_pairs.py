"""How pairs for a trill are ranked: tables/effort/trill_pairs.csv as frozen, named values."""

from dataclasses import dataclass
from functools import cache

from gripway.catalog.tables.figure_table import figures

TABLE = "effort/trill_pairs.csv"


@dataclass(frozen=True, slots=True)
class PairFigures:
    """The figures of tables/effort/trill_pairs.csv; each field is a row's id, unit as there."""

    finger_lt: float
    finger_l1: float
    finger_l2: float
    finger_l3: float
    finger_l4: float
    finger_r1: float
    finger_r2: float
    finger_r3: float
    finger_r4: float
    together: float
    two_hands: float
    swap: float
    more_fingers: float
    slide: float
    thumb_slide: float
    cents_free: float
    cents_point: float
    sharp_upper: float
    interval_point: float
    response: float
    harmonic: float
    held: float
    idle: float
    unsafe: float
    printed_medium: float
    printed_low: float
    known: float
    found: float
    no_good: float
    gross_cents: float
    not_printed: float
    flag_cents: float
    slow_notes: float
    found_window: float
    found_loss: float
    found_kept: float
    found_finger: float
    found_loss_point: float
    widest_lean: float
    in_tune: float

    def finger(self, name: str) -> float:
        """Points of one finger (`L1`) that moves alone."""
        return float(getattr(self, f"finger_{name.lower()}"))


@cache
def pair_figures() -> PairFigures:
    """Read the table once; TableError names the cell that is wrong, or rows missing or not known."""
    return figures(TABLE, PairFigures)
