"""The next hardest bars, for the time that is left where few changes are hard."""

from collections.abc import Sequence
from dataclasses import replace

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.cells.cells import Cell, find_cells
from gripway.practice.cells.hardness import is_easy
from gripway.practice.plan.days import weight_of
from gripway.practice.ways.spots import HardPlace, hard_places
from gripway.practice.ways.way_conditions import is_singing, is_slow
from gripway.route.result import Route


def nearly_hard(
    route: Route, found: Sequence[Cell], minutes: float, figures: PracticeFigures
) -> tuple[HardPlace, ...]:
    """The bars of the next hardest changes, where few are hard: there is time; none of an easy line.

    What is easy at any tempo is none of them: few fingers one way, one change between longer notes.
    """
    notes = route.passage.notes
    if not found and (is_slow(notes, figures, figures.music_slow_ms) or is_singing(notes, figures)):
        return ()
    early = figures.next_load * figures.early_load / figures.hard_load
    eased = replace(figures, hard_load=figures.next_load, early_load=early)
    hard = {place for cell in found for place in range(cell.first + 1, cell.first + len(cell.notes))}
    more = [
        cell
        for cell in find_cells(route, eased)
        if not ({cell.place} & hard or cell.alone or _is_easy(cell, figures))
    ]
    ranked = sorted(more, key=lambda cell: -weight_of(cell, figures))
    places = hard_places(ranked, notes, figures, nearly=True)
    enough = [place for place in places if place.last - place.first >= figures.next_notes - 1]
    most = min(figures.next_bars, int(minutes // figures.next_bar_min)) - max(0, len(found) - 1)
    return tuple(_apart(enough)[: max(0, most)])


def _is_easy(cell: Cell, figures: PracticeFigures) -> bool:
    before, after = cell.candidates[cell.worst - 1 : cell.worst + 1]
    return is_easy(cell.change, before, after, figures)


def _apart(places: Sequence[HardPlace]) -> list[HardPlace]:
    """Places in their order, those that share a note with one before them last."""
    first: list[HardPlace] = []
    for place in places:
        if all(place.last < other.first or place.first > other.last for other in first):
            first.append(place)
    return [*first, *(place for place in places if place not in first)]
