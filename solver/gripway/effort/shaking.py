"""Shaken tables: every judged figure moved by chance, the same chance for the same draw.

What rests on a measurement or on teaching stays. What an answer keeps under most draws does not hang on
the size of any single judgement.
"""

import random
from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType

from gripway.catalog.tables.effort_figures import EffortTables


def shaken(tables: EffortTables, draw: int, share: float) -> EffortTables:
    """The tables with every judged figure multiplied by a factor within 1 - share and 1 + share."""
    chance = random.Random(draw)  # noqa: S311 - the same draw gives the same tables

    def shake(value: float) -> float:
        return value * chance.uniform(1.0 - share, 1.0 + share)

    judged = tables.judged
    figures = {name: shake(getattr(tables.figures, name)) for name in judged["figures"]}
    return replace(
        tables,
        figures=replace(tables.figures, **figures),
        finger_weight=_shaken(tables.finger_weight, judged["fingers"], shake),
        support=_shaken(tables.support, judged["support"], shake),
        unfamiliarity=_shaken(tables.unfamiliarity, judged["familiarity"], shake),
        response=_shaken(tables.response, judged["response"], shake),
        b_flat=MappingProxyType(
            {
                key: shake(value) if " ".join(key) in judged["b_flat"] else value
                for key, value in tables.b_flat.items()
            }
        ),
        dynamics=MappingProxyType(
            {
                mark: replace(dynamic, drift_cents=shake(dynamic.drift_cents))
                for mark, dynamic in tables.dynamics.items()
            }
        ),
    )


def _shaken(
    values: Mapping[str, float], judged: tuple[str, ...], shake: Callable[[float], float]
) -> MappingProxyType[str, float]:
    return MappingProxyType({**values, **{key: shake(values[key]) for key in judged}})
