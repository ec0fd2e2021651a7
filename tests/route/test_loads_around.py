"""The loads around a note, if it had another grip."""

from itertools import pairwise

import pytest
from tests.oracles.flutes import solver_of
from tests.oracles.passages import played

from gripway.asked.wishes import Pin, Wishes
from gripway.route.loads_around import loads_around


def test_for_the_grip_it_has_they_are_those_of_the_route() -> None:
    """Into it and out of it; the first note has none before it, the last none behind."""
    solver = solver_of()
    route = solver.solve(played("E6 F#6 G#6 A6 r B6 A6", 160), Wishes())
    around = loads_around(solver, route)
    loads = [around(note.index, note.candidate) for note in route.notes if note.candidate]
    assert loads[0][0] is None
    assert loads[-1][1] is None
    assert [after for _, after in loads[:-1]] == [change.load for change in route.changes]
    assert all(after == before for (_, after), (before, _) in pairwise(loads))


def test_for_another_grip_they_are_those_of_a_route_pinned_to_it() -> None:
    """Every other note pinned as it is: the changes beside the note have these loads."""
    solver, passage = solver_of(), played("E6 F#6 G#6 A6", 160)
    route = solver.solve(passage, Wishes())
    grips = {note.index: note.candidate.grip for note in route.notes if note.candidate}
    for note in route.notes[1:-1]:
        other = note.others[0].candidate
        pins = tuple(Pin(k, grip) for k, grip in (grips | {note.index: other.grip}).items())
        changes = solver.solve(passage, Wishes(pins=pins)).changes
        beside = (changes[note.index - 1].load, changes[note.index].load)
        assert loads_around(solver, route)(note.index, other) == pytest.approx(beside)
