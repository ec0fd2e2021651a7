"""Support: what steadies the flute in a grip, and what a change of it costs.

What it measures: how much of the flute's weight the pressed touches help to hold.
Why it matters: a change of support of 1.5 or more is felt as a movement of the left wrist.
Unit: support units (Eb 0.8, a right-hand plate 0.5); costs in effort.
Example: C5 to D5 goes from 1.2 to 2.8: the flute rocks.
Source: direction taught, sizes judgement; tables/effort/support.csv.
"""

from collections.abc import Mapping

from gripway.catalog.tables.effort_figures import Figures
from gripway.model.grip import FOOT_TOUCHES, Grip


def support(grip: Grip, sizes: Mapping[str, float], *, little_finger: bool = True) -> float:
    """Support units of a grip; R4 counts once, and not at all without `little_finger`."""
    foot = [sizes[touch] for touch in grip.touches if touch in FOOT_TOUCHES]
    others = sum(sizes.get(touch, 0.0) for touch in grip.touches if touch not in FOOT_TOUCHES)
    return others + (max(foot, default=0.0) if little_finger else 0.0)


def sudden_balance(change: float, figures: Figures) -> float:
    """Effort of a change of support with no time to spare."""
    return figures.balance_effort * max(0.0, abs(change) - figures.balance_free_support)


def suddenness(available_ms: float, figures: Figures) -> float:
    """Share of that effort when there is time: 1 up to `balance_time_ms`, then less in proportion."""
    return min(1.0, figures.balance_time_ms / max(available_ms, 1.0))


def looseness_effort(units: float, exposure: float, figures: Figures) -> float:
    """Effort of holding a grip with too little support for a time of this exposure."""
    return figures.loose_effort * max(0.0, figures.loose_below_support - units) * exposure
