"""What trained players play at a tempo is possible by the tool's own reckoning, and it leaves it alone."""

from dataclasses import replace

import pytest
from tests.cases.match_rate import solver_with
from tests.cases.speeds import HARDEST_LOAD, Line, hardest_load, kept_standard, left_standard, read_lines

from gripway.catalog.tables.effort_figures import effort_tables
from gripway.route.solve import Solver

LINES = read_lines()
STANDARD = [line for line in LINES if line.keeps == "standard"]


@pytest.fixture(scope="module")
def solver() -> Solver:
    """A solver for the plain concert flute."""
    return solver_with(effort_tables())


def test_every_line_says_what_it_is() -> None:
    """Sixty lines: each has its source, how it is known, its kind, and one of them is at the limit."""
    assert len(LINES) == 60
    assert all(line.source for line in LINES)
    assert {line.known for line in LINES} == {"seen", "memory"}
    assert {line.kind for line in LINES} == {"line", "alternation"}
    assert [line.text for line in LINES if line.keeps != "standard"] == ["B6 A6 F#6 D6"]


def test_what_is_played_is_possible(solver: Solver) -> None:
    """In nine lines of ten the hardest change of the standard grips is in time."""
    late = [line for line in STANDARD if hardest_load(line, solver) > HARDEST_LOAD]
    assert len(late) <= 0.1 * len(STANDARD), [line.text for line in late]


def test_what_is_played_plain_stays_plain(solver: Solver) -> None:
    """At least 95 of 100 notes keep their standard grip, B-flat or form of F#6."""
    left = {line.text: left_standard(solver.solve(line.passage)) for line in STANDARD}
    notes = sum(len(line.passage.notes) for line in STANDARD)
    assert sum(left.values()) <= 0.05 * notes, left


def test_the_named_exception_stays_hard(solver: Solver) -> None:
    """The line its source calls hardly possible in standard grips is late by our reckoning too."""
    (exception,) = [line for line in LINES if line.keeps == "limit"]
    assert hardest_load(exception, solver) > 1.2


@pytest.mark.parametrize("line", STANDARD[:3], ids=lambda line: line.text)
def test_the_limit_is_one_of_speed(solver: Solver, line: Line) -> None:
    """At a third of the time even a scale of the daily exercises is late: the load can say no."""
    notes = tuple(replace(n, onset_ms=n.onset_ms / 3, length_ms=n.length_ms / 3) for n in line.passage.notes)
    fast = replace(line, passage=replace(line.passage, notes=notes))
    assert hardest_load(fast, solver) > HARDEST_LOAD
    assert not kept_standard(None)
