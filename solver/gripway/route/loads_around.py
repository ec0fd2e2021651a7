"""What another grip of a note makes of the changes into and out of it, beside the same grips or others."""

from typing import Protocol

from gripway.effort.candidate import Candidate
from gripway.effort.setting import Link
from gripway.route.linking import passage_links
from gripway.route.result import Route
from gripway.route.solve import Solver

Loads = tuple[float | None, float | None]
"""Loads of the changes into and out of a note; None where there is no such change."""


Beside = tuple[Candidate | None, Candidate | None]
"""Grips of the notes before and after that go with a grip; None where they stay as they are."""

ALONE: Beside = (None, None)


class LoadsAround(Protocol):
    """Gives the loads around the note of an index, if it had this grip and its neighbours these."""

    def __call__(self, index: int, candidate: Candidate, beside: Beside = ALONE) -> Loads:
        """The loads; the neighbours keep their grips where no others are given."""


def loads_around(solver: Solver, route: Route) -> LoadsAround:
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

    def around(index: int, candidate: Candidate, beside: Beside = ALONE) -> Loads:
        before, after = beside
        into = out = None
        if index:
            into = load(before or notes[index - 1].candidate, candidate, between[index])
        if index + 1 < len(notes):
            out = load(candidate, after or notes[index + 1].candidate, between[index + 1])
        return into, out

    return around
