"""Which figures are settled on which grip, round by round, as the route comes out anew."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gripway.model.grip import Grip
from gripway.model.passage import Note
from gripway.route.figures import Figure
from gripway.route.result import Other, Route, RouteNote

MOVING_ORNAMENTS = ("trill", "tremolo")
NEVER = float("inf")

Groups = Mapping[Figure, tuple[int, ...]]
"""Indices of the notes of each figure, with every time a repeat plays them."""


@dataclass(frozen=True, slots=True)
class FigureBounds:
    """What is needed to tell figures apart and to settle them.

    These are figure_tempo, sustained and settle_near of effort/figures.csv.
    """

    tempo_step: float
    sustained_ms: float
    near_notes: int


def no_place_for_trills(note: Note, sustained_ms: float) -> bool:
    """Whether a grip meant for trills would be out of place on a note: long, and no trill."""
    moving = note.ornament is not None and note.ornament.kind in MOVING_ORNAMENTS
    return note.length_ms >= sustained_ms and not moving


def row_of(note: RouteNote) -> Grip | None:
    """The grip of the tables that a note of a route has, whatever fingers are held."""
    return note.candidate.row_grip if note.candidate else None


class Settling:
    """Settles figures one after the other; `known` are grips of figures in other parts.

    `stale` says that the last route has gaps of what has been taken back since.
    """

    def __init__(
        self, groups: Groups, bounds: FigureBounds, free: Route, known: Mapping[Figure, Grip]
    ) -> None:
        self.groups = tuple(groups.values())
        self.known = {number: known[figure] for number, figure in enumerate(groups) if figure in known}
        self.bounds = bounds
        self.gaps = {note.index for note in free.notes if note.candidate is None}
        self.settled: dict[int, Grip] = {}
        self.in_vain: set[tuple[int, Grip]] = set()
        self.stale = False

    def settle(self, route: Route) -> tuple[tuple[int, Grip], ...] | None:
        """The notes settled after a look at this route; None when nothing is left to settle.

        Of figures near to each other only the one that is evened out most cheaply is settled in
        one round: the others may follow it by themselves.
        """
        amiss = [number for number in range(len(self.groups)) if self._is_amiss(route, number)]
        rankings = [self._ranking(route, number) for number in amiss]
        near = range(-self.bounds.near_notes, self.bounds.near_notes + 1)
        taken: set[int] = set()
        for _, number, grips in sorted(rankings, key=lambda ranking: ranking[:2]):
            group = self.groups[number]
            if grips and taken.isdisjoint(group):
                self.settled[number] = grips[0]
                taken.update(place + step for place in group for step in near)
        return self.places() if taken else None

    def places(self) -> tuple[tuple[int, Grip], ...]:
        """The notes settled so far, each with its grip."""
        return tuple((place, grip) for number, grip in self.settled.items() for place in self.groups[number])

    def take_back(self, route: Route) -> None:
        """Give up what made a gap: the figures at the gap try their next grip, or none."""
        new = {note.index for note in route.notes if note.candidate is None} - self.gaps
        near = {place + step for place in new for step in (-1, 0, 1)}
        for number, grip in list(self.settled.items()):
            if near.intersection(self.groups[number]):
                self.in_vain.add((number, grip))
                del self.settled[number]
        self.stale = bool(new)

    def _notes(self, route: Route, number: int) -> list[RouteNote]:
        """The notes of a figure that have a grip."""
        return [route.notes[place] for place in self.groups[number] if route.notes[place].candidate]

    def _is_amiss(self, route: Route, number: int) -> bool:
        """Whether a figure not settled has two grips, not that of other parts, or a trill grip amiss."""
        notes = self._notes(route, number)
        if number in self.settled or not notes:
            return False
        rows = {row_of(note) for note in notes}
        if len(rows) > 1 or not rows <= {self.known.get(number, *rows)}:
            return True
        return any(self._out_of_place(note, note.candidate.kind) for note in notes if note.candidate)

    def _out_of_place(self, note: RouteNote, kind: str) -> bool:
        return kind == "trill" and no_place_for_trills(note.note, self.bounds.sustained_ms)

    def _ranking(self, route: Route, number: int) -> tuple[float, int, Sequence[Grip]]:
        """What evening out a figure costs at least, its number, and its grips, the cheapest first."""
        first, *others = [self._costs(note) for note in self._notes(route, number)]
        total = {
            grip: round(cost[0] + sum(costs[grip][0] for costs in others), 3)
            for grip, cost in first.items()
            if all(grip in costs for costs in others) and (number, grip) not in self.in_vain
        }
        wanted = self.known.get(number)
        grips = sorted(total, key=lambda grip: (grip != wanted, total[grip], first[grip][1:]))
        return total[grips[0]] if grips else NEVER, number, grips

    def _costs(self, note: RouteNote) -> dict[Grip, tuple[float, bool, int]]:
        """What each grip of the tables costs more at a note, whether it is no standard grip, its rank."""
        costs: dict[Grip, tuple[float, bool, int]] = {}
        chosen = (Other(note.candidate, 0.0),) if note.candidate else ()
        for other in (*chosen, *note.others):
            candidate = other.candidate
            if not self._out_of_place(note, candidate.kind):
                cost = other.effort_more, candidate.kind != "standard", candidate.rank
                costs[candidate.row_grip] = min(cost, costs.get(candidate.row_grip, (NEVER, True, 0)))
        return costs
