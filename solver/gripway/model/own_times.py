"""A player's own finger times as measured from recordings, with their spread and date."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class OwnTimes:
    """What trills and scales of one player say.

    `base_ms` is the time of an easy finger in an alternation, `weights` the factor of each finger on it,
    by name; a spread is half of the nine-tenths range. `line_factor` is this player's time in a line over
    that of the tables' law (None: no scales). `pairs` and `takes` are how many were heard; `date` the last
    day of recording, YYYY-MM-DD.
    """

    date: str
    pairs: int
    takes: int
    base_ms: float
    base_spread_ms: float
    weights: tuple[tuple[str, float], ...]
    spreads: tuple[tuple[str, float], ...]
    line_factor: float | None = None
    line_spread: float | None = None
