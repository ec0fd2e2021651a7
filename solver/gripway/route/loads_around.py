"""What another grip of a note makes of the changes into and out of it, its neighbours' grips staying."""

from collections.abc import Callable

from gripway.effort.candidate import Candidate
from gripway.effort.setting import Link
from gripway.route.linking import passage_links
from gripway.route.result import Route
from gripway.route.solve import Solver

Loads = tuple[float | None, float | None]
"""Loads of the changes into and out of a note; None where there is no such change."""


def loads_around(solver: Solver, route: Route) -> Callable[[int, Candidate], Loads]:
    """Gives the loads around the note of an index of the route, if it had this grip.

    They are those of the route itself for the grip it has.
    """
    notes = route.notes
    between = passage_links(
        route.passage.notes, solver.book, solver.model.times, solver.tables.figures, frozenset()
    )

    def load(before: Candidate | None, after: Candidate | None, link: Link) -> float | None:
        if before is None or after is None:
            return None
        return solver.model.load(solver.model.step(before, after), link)

    def around(index: int, candidate: Candidate) -> Loads:
        into = load(notes[index - 1].candidate, candidate, between[index]) if index else None
        out = None
        if index + 1 < len(notes):
            out = load(candidate, notes[index + 1].candidate, between[index + 1])
        return into, out

    return around
