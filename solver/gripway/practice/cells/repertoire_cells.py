"""The worst changes of a player's repertoire: cells of several parts, the same change met once."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.cells.cells import Cell, CellPlace, Sound, find_cells, sound_of
from gripway.route.result import Route


@dataclass(frozen=True, slots=True)
class PartRoute:
    """The route of a part; `name` is what the player calls it."""

    name: str
    route: Route


@dataclass(frozen=True, slots=True)
class PartPlaces:
    """Where a part has a change, either way."""

    part: str
    places: tuple[CellPlace, ...]


@dataclass(frozen=True, slots=True)
class RepertoireCell:
    """A cell, the part where it is hardest, and everywhere its worst change stands."""

    at: PartRoute
    cell: Cell
    places: tuple[PartPlaces, ...]


def repertoire_cells(
    parts: Sequence[PartRoute], lowest: int, figures: PracticeFigures
) -> tuple[RepertoireCell, ...]:
    """The cells whose worst change has a note from `lowest` (a note number) up, hardest first.

    None whose worst change another cell has already; a change and its way back are one.
    """
    found = [(part, cell) for part in parts for cell in find_cells(part.route, figures)]
    found = [(part, cell) for part, cell in found if max(number for number, _ in _worst(cell)) >= lowest]
    covered: set[frozenset[Sound]] = set()
    cells = []
    for part, cell in sorted(found, key=lambda each: -each[1].hardness(figures)):
        if _worst(cell) in covered:
            continue
        sounds = [sound_of(note) for note in cell.notes]
        covered.update(frozenset(pair) for pair in pairwise(sounds))
        cells.append(RepertoireCell(part, cell, tuple(_places(_worst(cell), found))))
    return tuple(cells)


def _worst(cell: Cell) -> frozenset[Sound]:
    """What the fingers do in the worst change, whichever way."""
    return frozenset(map(sound_of, cell.notes[cell.worst - 1 : cell.worst + 1]))


def _places(worst: frozenset[Sound], found: Sequence[tuple[PartRoute, Cell]]) -> list[PartPlaces]:
    """The places of a change in each part that has it as the worst of a cell."""
    places: dict[str, list[CellPlace]] = {}
    for part, cell in found:
        if _worst(cell) == worst:
            places.setdefault(part.name, []).extend((*cell.places, *cell.back))
    return [
        PartPlaces(name, tuple(sorted(each, key=lambda place: place.index))) for name, each in places.items()
    ]
