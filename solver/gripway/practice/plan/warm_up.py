"""A warm-up card: one drill and a few tempos for each of the worst changes of a repertoire."""

from dataclasses import dataclass
from typing import Any

from gripway.catalog.tables.practice_figures import PracticeTables
from gripway.practice.cells.repertoire_cells import RepertoireCell
from gripway.practice.drills.drill_minutes import minutes_of, spread, up_to_fastest
from gripway.practice.drills.drills import Drill
from gripway.practice.plan.exposure import SoundLevel
from gripway.practice.plan.plan import PlannedCell
from gripway.practice.plan.plan_export import drill_data

KINDS = ("around", "after", "before", "pair")
"""Kinds of drills for a card, the most musical first."""


@dataclass(frozen=True, slots=True)
class WarmUpItem:
    """A change of the card: its cell, the drill, and tempos from easy to that of the part, to tick."""

    found: RepertoireCell
    planned: PlannedCell
    drill: Drill
    steps: tuple[int, ...]
    minutes: float


@dataclass(frozen=True, slots=True)
class WarmUpCard:
    """The items of a week, hardest first; `left` counts changes that are hard, too. `parts` are names."""

    instrument: str
    parts: tuple[str, ...]
    items: tuple[WarmUpItem, ...]
    left: int
    sound: tuple[SoundLevel, ...]

    @property
    def minutes(self) -> float:
        """Minutes a day."""
        return sum(item.minutes for item in self.items)


def warm_up_item(found: RepertoireCell, planned: PlannedCell, tables: PracticeTables) -> WarmUpItem | None:
    """The item of a cell: the first drill of KINDS that its minutes hold at each tempo; None without one."""
    minutes, ladder = tables.figures.warm_up_min, planned.ladder
    for drill in sorted(planned.drills, key=lambda drill: (*KINDS, drill.kind).index(drill.kind)):
        if drill.kind in KINDS:
            within = up_to_fastest(ladder.steps, drill)
            steps = spread(within, min(tables.figures.sitting_notches + 1, len(within)))
            if all(minutes_of(drill, ladder, (step,), tables.figures) <= minutes for step in steps):
                return WarmUpItem(found, planned, drill, steps, minutes)
    return None


def warm_up_data(card: WarmUpCard, caution: str) -> dict[str, Any]:
    """The JSON object that `gripway warmup --format json` prints."""
    return {
        "instrument": card.instrument,
        "parts": list(card.parts),
        "minutes": card.minutes,
        "items": [_item_data(item) for item in card.items],
        "left": card.left,
        "caution": caution,
    }


def _item_data(item: WarmUpItem) -> dict[str, Any]:
    cell = item.planned.cell
    span = slice(cell.worst - 1, cell.worst + 1)
    return {
        "change": list(cell.pitches[span]),
        "grips": [candidate.grip.text for candidate in cell.candidates[span]],
        "load": round(cell.load, 3),
        "places": [
            {"part": each.part, "bars": list(dict.fromkeys(place.bar for place in each.places))}
            for each in item.found.places
        ],
        "minutes": item.minutes,
        "tempos": list(item.steps),
        "drill": drill_data(item.drill),
    }
