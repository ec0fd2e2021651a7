"""The worst changes and cells of patterns as plain data and as a pandas frame."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from gripway.practice.cells.pattern_cells import PatternCell, PatternChange, PatternPlace
from gripway.practice.plan.plan import PlannedCell
from gripway.practice.plan.plan_export import cell_data

if TYPE_CHECKING:
    pass


def change_row(each: PatternChange) -> dict[str, Any]:
    """One change: its notes as spelt where it is hardest, what it takes, and where it stands."""
    notes, change = each.at.route.notes, each.change
    before, after = notes[change.to - 1], notes[change.to]
    return {
        "from": before.note.pitch.name,
        "to": after.note.pitch.name,
        "from_grip": before.candidate.grip.text if before.candidate else None,
        "to_grip": after.candidate.grip.text if after.candidate else None,
        "change_ms": round(change.change_ms, 1),
        "available_ms": round(change.available_ms, 1),
        "load": round(change.load, 3),
        "fingers": len(change.movers),
        "movers": dict(change.movers),
        "lead": change.advice.lead or None,
        "effort": round(change.moving.effort, 3),
        "places": [place_data(place) for place in each.places],
    }


def place_data(place: PatternPlace) -> dict[str, Any]:
    """A pattern, its direction, and how often the change stands there."""
    return {"pattern": place.pattern, "direction": place.direction, "times": place.times}


def pattern_cell_data(found: PatternCell, planned: PlannedCell) -> dict[str, Any]:
    """A cell as in the JSON of `gripway practise`, its places being patterns."""
    data = cell_data(planned)
    for name in ("places_back", "reached"):
        data.pop(name)
    return data | {"places": [place_data(place) for place in found.places]}


def change_rows(changes: Sequence[PatternChange]) -> list[dict[str, Any]]:
    """The changes as plain rows, worst first; movers and places are text."""
    return [_flat(change_row(each)) for each in changes]


def places_words(places: Iterable[PatternPlace], most: int | None = None) -> str:
    """`A major: scale, up; A major: arpeggio, up and down`; with `most`, how many more there are."""
    ways: dict[str, list[str]] = {}
    for place in places:
        told = ways.setdefault(place.pattern, [])
        if place.direction not in told:
            told.append(place.direction)
    words = [f"{name}, {' and '.join(sorted(told, reverse=True))}" for name, told in ways.items()]
    shown = words if most is None else words[:most]
    more = f"; and {len(words) - len(shown)} more" if len(words) > len(shown) else ""
    return "; ".join(shown) + more


def _flat(row: dict[str, Any]) -> dict[str, Any]:
    words = "; ".join(f"{each['pattern']}, {each['direction']} x{each['times']}" for each in row["places"])
    return row | {"movers": "; ".join(f"{k} {v}" for k, v in row["movers"].items()), "places": words}
