"""How fast a cell goes back into its bar: not far ahead of what else is in it, nor of the passage."""

from collections.abc import Iterator, Mapping, Sequence

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.plan.course import Course
from gripway.practice.plan.day_items import is_in_part
from gripway.practice.plan.plan import Day, PlannedCell
from gripway.practice.ways.around import Ends
from gripway.practice.ways.spots import HardPlace, spot_of
from gripway.practice.ways.whole_passage import bar_of_change


def most_in_the_part(
    day: Day,
    cells: Sequence[PlannedCell],
    drilled: Mapping[int, int],
    course: Course,
    notes: Sequence[Note],
    places: Sequence[HardPlace],
    figures: PracticeFigures,
) -> dict[int, float]:
    """The shares of their tempo that drills in the part must not go beyond, where those of a day do.

    That is `part_notches` above the slowest of what else is hard in the bar, and `part_ahead_notches` above
    a passage that is not at its tempo. `drilled` and `course` are those after the day.
    """
    found: dict[int, float] = {}
    for item in day.items:
        planned = cells[item.cell]
        if not is_in_part(item, cells) or planned.cell.has_own_tempo:
            continue
        ends = bar_of_change(notes, planned.cell.place, figures)
        inside = (*_places_inside(ends, course, places), *_cells_inside(item.cell, ends, cells, drilled))
        limits = [share * (1 + figures.notch_share) ** figures.part_notches for share in inside]
        if day.passage and day.passage.share < 1:
            limits.append(day.passage.share * (1 + figures.notch_share) ** figures.part_ahead_notches)
        limit = min(limits, default=1.0)
        if item.end > limit * planned.ladder.target + 0.5:
            found[item.cell] = limit
    return found


def _places_inside(ends: Ends, course: Course, places: Sequence[HardPlace]) -> Iterator[float]:
    """What the hard bars over the same notes have been worked at, as shares of their tempo."""
    first, last = ends
    for place in places:
        shared = min(last, place.last) - max(first, place.first)
        if shared > 0 and place.first in course.worked:
            yield course.worked[place.first]


def _cells_inside(
    cell: int, ends: Ends, cells: Sequence[PlannedCell], drilled: Mapping[int, int]
) -> Iterator[float]:
    """What the other cells within some notes have been drilled at, as shares of their tempo."""
    first, last = ends
    for other, planned in enumerate(cells):
        spot = spot_of(other, planned.cell)
        there = any(first < place <= last for place in (spot.place, *spot.places))
        if other != cell and there and other in drilled and not planned.cell.has_own_tempo:
            yield min(1.0, drilled[other] / planned.ladder.target)
