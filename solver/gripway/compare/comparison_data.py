"""Trade-offs and alternatives as plain data: the keys they add to the JSON of a route, and CSV."""

from collections.abc import Sequence
from typing import Any

from gripway.compare.alternatives import Choices
from gripway.compare.route_diff import difference_data, differences
from gripway.compare.tradeoff import Tradeoff
from gripway.csv_text import csv_text
from gripway.effort.candidate import Candidate
from gripway.route.result import Route
from gripway.route.route_data import route_data


def tradeoff_data(route: Route, found: Tradeoff) -> dict[str, Any]:
    """The normal answer with the keys `front` and `tradeoff`."""
    less_effort, less_cents = found.off
    front = {
        "status": found.status,
        "stretches_missing": found.missing,
        "effort": round(found.yours.effort, 3),
        "cents": round(found.yours.cents, 2),
        "at": None if found.yours_at is None else found.yours_at + 1,
        "effort_less": round(less_effort, 3),
        "cents_less": round(less_cents, 2),
    }
    return route_data(route) | {"front": front, "tradeoff": _points(route, found)}


def _points(route: Route, found: Tradeoff) -> list[dict[str, Any]]:
    """One object a point, from the least effort to the best tuning."""
    told, before = [], found.points[0]
    for number, point in enumerate(found.points, start=1):
        changes = differences(route.passage, found.places, before.candidates, point.candidates)
        told.append(
            {
                "point": number,
                "effort": round(point.effort, 3),
                "cents": round(point.cents, 2),
                "corner": point.supported,
                "normal": number - 1 == found.yours_at,
                "changes": [difference_data(route.passage, change) for change in changes],
                "grips": grip_texts(route, found.places, point.candidates),
            }
        )
        before = point
    return told


def alternatives_data(route: Route, found: Choices) -> dict[str, Any]:
    """The normal answer with the keys `differ` and `alternatives`."""
    differ = {"notes": found.differ, "bar": found.bar, "no_more": found.ended}
    told = []
    for choice in found.others:
        changes = differences(route.passage, found.places, found.yours, choice.candidates)
        told.append(
            {
                "effort_more": round(choice.effort_more, 3),
                "effort_more_at_least": round(choice.at_least, 3),
                "proved": choice.proved,
                "changes": [difference_data(route.passage, change) for change in changes],
                "grips": grip_texts(route, found.places, choice.candidates),
            }
        )
    return route_data(route) | {"differ": differ, "alternatives": told}


def grip_texts(route: Route, places: Sequence[int], candidates: Sequence[Candidate]) -> list[str | None]:
    """The grip of every note of the passage; None where it has none."""
    grips = {place: candidate.grip.text for place, candidate in zip(places, candidates, strict=True)}
    return [grips.get(place) for place in range(len(route.passage.notes))]


def tradeoff_table(route: Route, found: Tradeoff) -> str:
    """CSV, one point a row; what changes from the point before is in words."""
    rows = _points(route, found)
    for row in rows:
        del row["grips"]
        row["changes"] = "; ".join(map(_words, row["changes"]))
    return csv_text(rows)


def _words(change: dict[str, Any]) -> str:
    bars = f" (bar {' '.join(change['bars'])})" if change["bars"] else ""
    return f"{change['pitch']} {change['grip']} instead of {change['instead_of']}{bars}"


def alternatives_table(route: Route, found: Choices) -> str:
    """CSV, one note a row: the grip of the normal answer, and of every alternative."""
    every = [found.yours, *(choice.candidates for choice in found.others)]
    columns = [grip_texts(route, found.places, candidates) for candidates in every]
    names = ("index", "id", "bar", "pitch", "grip", *(f"grip_{k}" for k in range(1, len(every))))
    rows = [
        (
            note.index,
            note.note.id,
            note.note.bar,
            note.note.pitch.name,
            *(column[note.index] for column in columns),
        )
        for note in route.notes
    ]
    return csv_text(dict(zip(names, row, strict=True)) for row in rows)
