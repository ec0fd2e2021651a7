"""The fingers reckoned fresh are nearly those that move: the approximation of linking.py is small."""

import pytest
from tests.oracles.flutes import candidate, solver_of
from tests.oracles.passages import played
from tests.route.fresh_error import fresh_error
from tests.route.real_parts import PARTS, route_of, solver_for
from tests.tiers import thinned

from gripway.asked.wishes import Pin, Wishes

MOST_CHANGES = 0.01
MOST_LOAD = 0.2
"""Bounds a little above what `python -m tests.route.fresh_error` printed on 2026-11-29."""


@pytest.mark.parametrize("part", thinned(PARTS, 3))
def test_few_changes_of_a_real_part_differ(part: str) -> None:
    """Few loads differ from those with the fingers that really moved, none by much."""
    found = fresh_error(route_of(part), solver_for(part))
    assert found.share <= MOST_CHANGES
    assert found.greatest <= MOST_LOAD


def test_plain_routes_have_no_error() -> None:
    """Where every note has its plain grip the approximation is exact."""
    solver = solver_of()
    route = solver.solve(played("(G4 A4 G4 A4 B4 C5 B4 A4)", 120.0))
    assert all(note.candidate.kind == "standard" for note in route.notes)
    assert fresh_error(route, solver).differ == 0


def test_another_grip_shows_an_error() -> None:
    """A pinned grip moves other fingers than the plain one: the measure can tell."""
    solver = solver_of()
    grip = candidate("D6", "L1 | Kd Eb").grip
    route = solver.solve(played("(C6 D6 E6 D6 C6)", 180.0), Wishes(pins=(Pin(1, grip),)))
    assert fresh_error(route, solver).differ > 0
