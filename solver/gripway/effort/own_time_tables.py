"""The tables of effort with a player's own finger times in them.

What it measures: what one player's trills and scales say of their fingers (`gripway own-times`).
Why it matters: the tables' milliseconds come from other people's fingers, some on another instrument.
Unit: milliseconds and factors, as in the tables; only the base, the finger weights and the times of a
line are replaced, the addends of a change stay.
Example: with a base of 105 ms and LT at 1.3, B4 to C5 takes 136 ms as a trill in place of 110.
Source: the player's file; from how many pairs and takes on they count: tables/listening/times.csv.
"""

from dataclasses import fields, replace
from types import MappingProxyType

from gripway.catalog.tables.effort_figures import EffortTables, Figures
from gripway.display import counted
from gripway.model.player import OwnTimes, Player

IN_A_LINE = tuple(
    field.name
    for field in fields(Figures)
    if field.name == "line_turning_share" or (field.name.startswith("line_") and field.name.endswith("_ms"))
)
"""The figures of the law of a line: all of them go with the player's factor."""


def counting(player: Player) -> OwnTimes | None:
    """The player's own times where there are enough of them to count; else None, and the tables speak."""
    own = player.own_times
    if own is None:
        return None
    least_pairs, least_takes = _least()
    return own if own.pairs >= least_pairs and own.takes >= least_takes else None


def _least() -> tuple[float, float]:
    """So many pairs and takes make own times count."""
    from gripway.catalog.tables.times_figures import times_figures  # most players have no own times

    return times_figures().least_pairs, times_figures().least_takes


def too_few_words(player: Player) -> str:
    """What an answer says of own times that do not count yet; empty where there are none, or enough."""
    own = player.own_times
    if own is None or counting(player) is not None:
        return ""
    least_pairs, least_takes = _least()
    return (
        f"your own finger times of {own.date} rest on {counted(own.takes, 'take')} of "
        f"{counted(own.pairs, 'pair')}: from "
        f"{least_takes} takes of {least_pairs} pairs they count; till then the tables speak"
    )


def own_tables(tables: EffortTables, player: Player) -> EffortTables:
    """The tables as they hold for this player: with their own times where these count, else as they are.

    What is measured is judged no longer, so that it is not shaken.
    """
    own = counting(player)
    if own is None:
        return tables
    factor = own.line_factor or 1.0
    lines = {name: getattr(tables.figures, name) * factor for name in IN_A_LINE}
    weights = {**tables.finger_weight, **dict(own.weights)}
    judged = {key: each for key, each in tables.judged["fingers"].items() if key not in dict(own.weights)}
    return replace(
        tables,
        figures=replace(tables.figures, base_ms=own.base_ms, **lines),
        finger_weight=MappingProxyType(weights),
        judged=MappingProxyType({**tables.judged, "fingers": MappingProxyType(judged)}),
    )
