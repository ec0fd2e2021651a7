"""The worst changes and cells of many patterns, each met once, with all patterns that have it."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.display import brief, counted
from gripway.practice.cells.cells import Cell, Sound, find_cells, sound_of
from gripway.practice.cells.patterns import Pattern
from gripway.route.result import Route, RouteChange

Work = tuple[Sound, Sound]
"""What the fingers do: from a pitch with a grip to a pitch with a grip."""


@dataclass(frozen=True, slots=True)
class PatternRoute:
    """The route of a pattern; `names` are all patterns that have the very same notes in this range."""

    pattern: Pattern
    route: Route
    names: tuple[str, ...]

    def __repr__(self) -> str:
        return brief(self, self.pattern.name, counted(len(self.route.notes), "note"))


@dataclass(frozen=True, slots=True)
class PatternPlace:
    """Where a change stands: the pattern, whether on its way up or down, and how often."""

    pattern: str
    direction: str
    times: int


@dataclass(frozen=True, slots=True)
class PatternChange:
    """One change of the fingers, where its load is highest, and everywhere it stands."""

    at: PatternRoute
    change: RouteChange
    places: tuple[PatternPlace, ...]


@dataclass(frozen=True, slots=True)
class PatternCell:
    """A cell, the route it is taken from, and where its worst change stands, either way."""

    at: PatternRoute
    cell: Cell
    places: tuple[PatternPlace, ...]

    def __repr__(self) -> str:
        return brief(self, " ".join(self.cell.pitches), f"load {self.cell.load:.2f}", self.at.pattern.name)


def pattern_changes(routes: Sequence[PatternRoute]) -> tuple[PatternChange, ...]:
    """Every change in which a finger moves, the highest load first; the same change once."""
    found: dict[Work, list[tuple[PatternRoute, RouteChange]]] = defaultdict(list)
    for at in routes:
        for change in at.route.changes:
            if change.movers:
                found[work_of(at.route, change)].append((at, change))
    merged = []
    for alike in found.values():
        at, worst = max(alike, key=lambda each: each[1].load)
        merged.append(PatternChange(at, worst, tuple(_places(alike))))
    return tuple(sorted(merged, key=lambda each: -each.change.load))


def pattern_cells(
    routes: Sequence[PatternRoute], changes: Iterable[PatternChange], figures: PracticeFigures
) -> tuple[PatternCell, ...]:
    """The cells of all patterns, hardest first; none whose worst change another cell has already.

    A change and its way back belong to one cell.
    """
    places = {work_of(each.at.route, each.change): each.places for each in changes}
    found = [(at, cell) for at in routes for cell in find_cells(at.route, figures)]
    covered: set[Work] = set()
    cells = []
    for at, cell in sorted(found, key=lambda each: -each[1].hardness(figures)):
        worst = work_of(at.route, cell.change)
        if worst in covered:
            continue
        inside = range(cell.first + 1, cell.first + len(cell.notes))
        works = [_work_into(at.route, to) for to in inside]
        covered.update(works)
        covered.update((after, before) for before, after in works)
        cells.append(PatternCell(at, cell, (*places[worst], *places.get((worst[1], worst[0]), ()))))
    return tuple(cells)


def work_of(route: Route, change: RouteChange) -> Work:
    """What the fingers do in a change."""
    return _work_into(route, change.to)


def _work_into(route: Route, to: int) -> Work:
    return sound_of(route.notes[to - 1]), sound_of(route.notes[to])


def _places(alike: Iterable[tuple[PatternRoute, RouteChange]]) -> Iterator[PatternPlace]:
    """The places of one change, by pattern and direction."""
    times: dict[tuple[str, str], int] = defaultdict(int)
    for at, change in alike:
        for name in at.names:
            times[name, at.pattern.direction(change.to)] += 1
    for (name, direction), count in times.items():
        yield PatternPlace(name, direction, count)
