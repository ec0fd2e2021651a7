"""Load: change time over time available, and the effort that grows from it.

What it measures: whether the fingers are in time. Load 1 means they are just in time.
Why it matters: below 1 a change costs little however large; above 1 it trips.
Unit: effort (1 is about one change that is clearly too slow for the tempo).
Example: 150 ms of change in 125 ms is a load of 1.2 and costs 0.34.
Source: the form is judgement; tables/effort/figures.csv has the sizes.
"""

from gripway.catalog.tables.effort_figures import Figures

LATE = 1.0
"""The load above which the fingers come late: what load means, not a judgement."""


def load_effort(load: float, figures: Figures) -> float:
    """Effort at this load: convex, straight from `load_straight_load` on, at most `load_most_effort`.

    Below load 1 it is load_below_effort x load^2; above it the slope goes on and steepens by
    load_above_effort x (load - 1)^2 until load_straight_load.
    """
    if load <= 1.0:
        return figures.load_below_effort * load * load
    excess = min(load, figures.load_straight_load) - 1.0
    slope = 2.0 * figures.load_below_effort
    effort = figures.load_below_effort + slope * excess + figures.load_above_effort * excess * excess
    if load > figures.load_straight_load:
        last_slope = slope + 2.0 * figures.load_above_effort * excess
        effort += last_slope * (load - figures.load_straight_load)
    return min(effort, figures.load_most_effort)
