"""The sizes behind learning dials from marks: tables/taste as frozen, named values."""

from dataclasses import dataclass
from functools import cache

from gripway.catalog.tables.figure_table import figures


@dataclass(frozen=True, slots=True)
class TasteFigures:
    """The rows of tables/taste/figures.csv; each field is a row's id."""

    least_marks: int
    least_groups: int
    largest_group_share: float
    passage_bars: int
    held_out_folds: int
    near_notes: int
    quiet_weight_marks: float
    octave_marks: float
    known_marks: float
    known_least_marks: int
    known_least_figures: int
    chance_most_share: float
    perhaps_marks: float
    first_settings: int


@cache
def taste_figures() -> TasteFigures:
    """Read tables/taste once; TableError names table, row and column when a cell is wrong.

    >>> taste_figures().held_out_folds
    5
    """
    return figures("taste/figures.csv", TasteFigures)
