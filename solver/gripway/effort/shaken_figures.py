"""Shaken tables: every judged figure moved by chance, the same chance for the same draw.

What rests on a measurement or on teaching stays. What an answer keeps under most draws does not hang on
the size of any single judgement.
"""

import random
from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from gripway.catalog.tables.effort_figures import EffortTables


def shaken(tables: EffortTables, draw: int, share: float) -> EffortTables:
    """The tables with every judged figure multiplied by a factor within 1 - share and 1 + share.

    A row's factor is that of its draw, its table and its key (of a figure without its unit): other rows,
    more or fewer, do not move it.
    """

    def shake(table: str, key: str, value: float) -> float:
        chance = random.Random(f"{draw} {table} {judged.get(table, {}).get(key, key)}")  # noqa: S311 - the same draw gives the same tables
        return value * chance.uniform(1.0 - share, 1.0 + share)

    def scale(table: str, values: Mapping[str, float]) -> MappingProxyType[str, float]:
        return MappingProxyType({**values, **{key: shake(table, key, values[key]) for key in judged[table]}})

    judged = tables.judged
    figures = {name: shake("figures", name, getattr(tables.figures, name)) for name in judged["figures"]}
    return replace(
        tables,
        figures=replace(tables.figures, **figures),
        finger_weight=scale("fingers", tables.finger_weight),
        support=scale("support", tables.support),
        unfamiliarity=scale("familiarity", tables.unfamiliarity),
        response=scale("response", tables.response),
        b_flat=MappingProxyType(
            {
                key: shake("b_flat", " ".join(key), value) if " ".join(key) in judged["b_flat"] else value
                for key, value in tables.b_flat.items()
            }
        ),
        dynamics=MappingProxyType(
            {
                mark: replace(dynamic, drift_cents=shake("dynamics", mark, dynamic.drift_cents))
                for mark, dynamic in tables.dynamics.items()
            }
        ),
    )
