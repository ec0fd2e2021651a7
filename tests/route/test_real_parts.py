"""Real parts get a teacher's advice: few unusual grips, few kinds of them, none where it does not belong."""

from itertools import pairwise

import pytest
from tests.oracles.recount import re_added
from tests.route.real_parts import PARTS, route_of, solver_for

from gripway.effort.candidate import Candidate

MOST_UNUSUAL, MOST_KINDS = 0.05, 4
HELD_MS = 250.0
"""A note this long is held (tables/effort/figures.csv: held_from_ms)."""

FOR_MOTION = {"motion", "quick", "leap", "alternation", "colour"}


def chosen(part: str) -> list[Candidate]:
    """The grips of a part's route, gaps left out."""
    return [note.candidate for note in route_of(part).notes if note.candidate is not None]


@pytest.mark.parametrize("part", PARTS)
def test_few_notes_have_unusual_grips(part: str) -> None:
    """At most five notes in a hundred, by at most four different grips in the whole part."""
    grips = chosen(part)
    unusual = [c for c in grips if not c.usual]
    assert len(grips) >= 100
    assert len(unusual) <= MOST_UNUSUAL * len(grips)
    assert len({(c.pitch, c.row_grip) for c in unusual}) <= MOST_KINDS


@pytest.mark.parametrize("part", PARTS)
def test_repeated_notes_keep_their_grip(part: str) -> None:
    """No note that is struck again has another grip."""
    for before, after in pairwise(route_of(part).notes):
        if before.candidate and after.candidate and before.note.pitch.number == after.note.pitch.number:
            assert before.candidate.grip == after.candidate.grip, after.index


@pytest.mark.parametrize("part", PARTS)
def test_nothing_for_motion_stands_on_a_held_note(part: str) -> None:
    """No grip for motion, no trill grip and no overblown one on a plain note of 250 ms and more."""
    for note in route_of(part).notes:
        c, held = note.candidate, note.note.length_ms >= HELD_MS and note.note.ornament is None
        if c is not None and c.kind != "standard" and held:
            assert c.kind not in ("harmonic", "trill"), note.index
            assert not c.uses <= FOR_MOTION, note.index


@pytest.mark.parametrize("part", PARTS)
def test_the_effort_is_that_of_an_independent_count(part: str) -> None:
    """Ledgers asked for one by one, and charges restated from the tables, come to the route's effort."""
    route = route_of(part)
    assert re_added(route, solver_for(part)) == route.effort_milli
    assert route.charges.bound_milli <= route.effort_milli


@pytest.mark.parametrize("part", PARTS)
def test_the_route_is_proved(part: str) -> None:
    """The search of a whole part ends with a proof, within its count of work."""
    assert route_of(part).charges.bound_milli == route_of(part).effort_milli
