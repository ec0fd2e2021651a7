"""How pairs for a trill are ranked: tables/effort/trill_pairs.csv as frozen, named values."""

from dataclasses import dataclass
from functools import cache

from gripway.catalog.tables.figure_table import figures

TABLE = "effort/trill_pairs.csv"


@dataclass(frozen=True, slots=True)
class PairFigures:
    """The figures of tables/effort/trill_pairs.csv; each field is a row's id."""

    finger_lt_points: float
    finger_l1_points: float
    finger_l2_points: float
    finger_l3_points: float
    finger_l4_points: float
    finger_r1_points: float
    finger_r2_points: float
    finger_r3_points: float
    finger_r4_points: float
    together_points: float
    two_hands_points: float
    swap_points: float
    more_fingers_points: float
    slide_points: float
    thumb_slide_points: float
    free_cents: float
    point_cents: float
    sharp_upper_factor: float
    interval_point_cents: float
    response_factor: float
    harmonic_points: float
    held_points: float
    idle_points: float
    unsafe_points: float
    printed_medium_points: float
    printed_low_points: float
    known_points: float
    found_points: float
    no_good_points: float
    gross_cents: float
    gross_points: float
    not_printed_points: float
    flag_cents: float
    slow_notes_a_second: float
    found_window_cents: float
    found_loss_ratio: float
    found_kept_pairs: float
    found_finger_points: float
    found_loss_point_ratio: float
    widest_lean_cents: float
    in_tune_cents: float

    def finger(self, name: str) -> float:
        """Points of one finger (`L1`) that moves alone."""
        return float(getattr(self, f"finger_{name.lower()}_points"))


@cache
def pair_figures() -> PairFigures:
    """Read the table once; TableError names the cell that is wrong, or rows missing or not known."""
    return figures(TABLE, PairFigures)
