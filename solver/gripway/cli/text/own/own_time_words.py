"""Own finger times in words: whose they are, and what each change takes by them and by the tables."""

from collections.abc import Iterator

from gripway.catalog.tables.effort_figures import effort_tables
from gripway.display import counted
from gripway.route.result import Route, RouteChange

SAME_MS = 1.0
"""A time that differs by less is told once."""


def own_time_words(route: Route, change: RouteChange) -> str:
    """`124 ms by your own trill times of 2026-11-20, 110 by the tables`; empty where they say the same."""
    if route.own_times is None or change.tables_ms is None:
        return ""
    if abs(change.change_ms - change.tables_ms) < SAME_MS:
        return ""
    by = f"by your own trill times of {route.own_times.date}"
    counted_ms = (
        change.tables_ms * change.needed_ms / change.change_ms
    )  # as the load counts it, slurred or tongued
    return f"{change.needed_ms:.0f} ms {by}, {counted_ms:.0f} by the tables"


def own_times_lines(route: Route) -> Iterator[str]:
    """Base, fingers and line of the player's own times beside those of the tables; nothing without them."""
    own, tables = route.own_times, effort_tables()
    if own is None:
        return
    yield (
        f"Your own trill times of {own.date} ({counted(own.takes, 'take')} of "
        f"{counted(own.pairs, 'pair')}): an easy finger "
        f"{own.base_ms:.0f} ±{own.base_spread_ms:.0f} ms (tables {tables.figures.base_ms:.0f})"
    )
    spreads = dict(own.spreads)
    yield "; ".join(
        f"{finger} {weight:.2f} ±{spreads.get(finger, 0.0):.2f} (tables {tables.finger_weight[finger]:.2f})"
        for finger, weight in own.weights
    )
    if own.line_factor is not None:
        spread = own.line_spread or 0.0
        yield f"Inside a line {own.line_factor:.2f} ±{spread:.2f} of the tables' time, by your scales"
