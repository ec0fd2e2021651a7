"""The figures of finger times and evenness as heard: tables/listening/times.csv."""

from dataclasses import dataclass
from functools import cache

from gripway.catalog.tables.figure_table import figures


@dataclass(frozen=True, slots=True)
class TimesFigures:
    """The rows of tables/listening/times.csv; each field is a row's id, its unit the end of the name."""

    trill_least_s: float
    trill_most_s: float
    trill_least_periods: int
    trill_quickest_notes_per_s: float
    trill_slowest_notes_per_s: float
    trill_even_share: float
    pair_takes: int
    asked_pairs: int
    least_pairs: int
    least_takes: int
    base_prior_share: float
    weight_prior_share: float
    take_share: float
    take_weight_takes: float
    law_share: float
    addend_share: float
    line_prior_share: float
    line_take_share: float
    scale_even_share: float
    scale_tempo_share: float
    late_least_ms: float
    late_share: float
    passage_most_s: float
    passage_most_notes: int
    passage_tempo_share: float
    passage_least_heard_share: float
    agreement_least_changes: int


@cache
def times_figures() -> TimesFigures:
    """Read the table once. Raises TableError as `figures`."""
    return figures("listening/times.csv", TimesFigures)
