"""Solvers and candidates of the flutes the tests play on."""

from functools import cache

from gripway.candidates.candidates import FluteKnowledge
from gripway.catalog.flute.grips import grip_rows
from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.flute.trills import trill_rows
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.effort.candidate import Candidate
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.route.result import Route
from gripway.route.solve import Solver
from gripway.tasks.flute_knowledge import survey_of

TABLES = effort_tables()
FIGURES, SHAKING = TABLES.figures, TABLES.shaking


def fresh_solver(name: str = "concert-flute", *parts: str, player: Player = PLAIN_PLAYER) -> Solver:
    """A solver that has learnt nothing yet."""
    flute = load_instrument(name, parts)
    return Solver(
        FluteKnowledge(flute, grip_rows(flute), trill_rows(flute), TABLES, player, survey_of(flute))
    )


@cache
def solver_of(name: str = "concert-flute", *parts: str) -> Solver:
    """One solver for each flute, shared by the tests."""
    return fresh_solver(name, *parts)


def number(name: str) -> int:
    """The note number of a pitch name."""
    return Pitch.parse(name).number


def candidate(pitch: str, grip: str = "", *, over: str = "", solver: Solver | None = None) -> Candidate:
    """The candidate of a pitch with this grip (without one, its standard grip).

    Lifted fingers rest at their usual places, or one of them `over` the touch asked for.
    """
    column = (solver or solver_of()).book.column(number(pitch), True, True)
    wanted = Grip.parse(grip) if grip else next(c.grip for c in column if c.kind == "standard")
    found = [c for c in column if c.grip == wanted]
    return next(c for c in found if not over or f"-{over}" in c.position.left + c.position.right)


def grips_of(route: Route) -> list[str]:
    """The grips of a route as text, `-` for a gap."""
    return [note.candidate.grip.text if note.candidate else "-" for note in route.notes]
