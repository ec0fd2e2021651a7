"""Cases that teachers agree on: the route keeps them, and better than the two plain baselines.

Expectations and their sources stand in taught.csv; held_out.csv holds cases that no figure was
chosen by; plain.csv holds passages most of which are to stay plain.
"""

from collections.abc import Iterator
from operator import attrgetter

import pytest
from tests.cases.expectations import Case, failures, holds, read_cases
from tests.cases.match_rate import broken_cases, recommendations, robustness, solver_with, standing

from gripway.asked.wishes import FEWEST_MOVERS, LEAST_EFFORT, STANDARD_ONLY
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.route.solve import Solver
from gripway.score.notation import read_notation

LEAST_HELD = 12
"""Of the 14 taught cases; the figures were chosen with them in sight, so all but two is the least."""

LEAST_PLAIN = 31
"""Of the 33 cases of plain.csv."""

TABLES = ("taught.csv", "held_out.csv", "plain.csv")


@pytest.fixture(scope="module")
def solver() -> Solver:
    """A solver for the plain concert flute."""
    return solver_with(effort_tables())


def all_cases() -> Iterator[Case]:
    """Every case of all tables."""
    for table in TABLES:
        yield from read_cases(table)


def test_the_route_holds_the_taught_cases(solver: Solver) -> None:
    """At least 12 of the 14 taught cases hold."""
    cases = read_cases("taught.csv")
    broken = broken_cases(cases, solver)
    assert len(cases) == 14
    assert len(cases) - len(broken) >= LEAST_HELD, broken


def test_the_route_stays_plain_where_it_is_taught_to(solver: Solver) -> None:
    """At least 31 of the 33 cases of plain.csv hold: most of them ask for the standard grips."""
    cases = read_cases("plain.csv")
    broken = broken_cases(cases, solver)
    assert len(cases) == 33
    assert len(cases) - len(broken) >= LEAST_PLAIN, broken


@pytest.mark.parametrize("table", TABLES)
@pytest.mark.parametrize("baseline", [STANDARD_ONLY, FEWEST_MOVERS])
def test_the_route_beats_the_baselines(solver: Solver, table: str, baseline: str) -> None:
    """More cases hold than with standard grips only, and than with the fewest moving fingers."""
    cases = read_cases(table)
    route, plain = broken_cases(cases, solver, LEAST_EFFORT), broken_cases(cases, solver, baseline)
    assert len(route) < len(plain), route


def test_shaken_figures_hold_most_taught_cases() -> None:
    """With every judged figure shaken by 20 % most taught cases still hold (five draws)."""
    mean, worst, lost = robustness(read_cases("taught.csv"), draws=5)
    assert mean >= LEAST_HELD, lost
    assert worst >= LEAST_HELD - 2, lost


@pytest.mark.whole
def test_recommendations_stand_under_shaken_figures() -> None:
    """What the route advises beside the standard grips is nearly the same under five draws of the figures."""
    passages = [case.passage for case in all_cases()]
    told, always, share = standing(passages, draws=5)
    assert told > 0
    assert always <= told
    assert share >= 0.9


def test_only_unusual_grips_are_recommendations(solver: Solver) -> None:
    """A line in standard grips and thumb B-flat recommends nothing; a trill by its key does, twice."""
    plain, trill = read_notation("(G5 A5 Bb5 C6)", fifths=-1), read_notation("(C6 D6 C6 D6)", tempo=180.0)
    assert recommendations([plain], solver) == set()
    assert {(k, index) for k, index, _ in recommendations([plain, trill], solver)} == {(1, 1), (1, 3)}


@pytest.mark.parametrize("case", list(all_cases()), ids=attrgetter("id"))
def test_every_case_can_be_read(solver: Solver, case: Case) -> None:
    """Each clause of a case says something and each case names its source."""
    failures(case, solver.solve(case.passage))
    assert case.source


@pytest.mark.parametrize(
    ("clause", "expected"),
    [
        ("1 has T", True),
        ("1 lacks T", False),
        ("1 is T L2 L3 | Eb", True),
        ("1 is T L1 | Eb or T L2 L3 | Eb", True),
        ("1 is T L1 | Eb", False),
        ("1 one of L2 R1", True),
        ("1 one of L2 L3", False),
        ("1 any of L2 L3", True),
        ("1 any of L1 R1", False),
        ("1-2 one touch", True),
        ("2-3 one touch", True),
        ("1-3 one touch", False),
        ("1 2 same", False),
        ("1 3 same", True),
        ("1 kind standard", True),
        ("1 not kind standard harmonic", False),
        ("no thumb slide", True),
        ("hardest 1-2", False),
        ("hardest 2-3", True),  # the same fingers back, and they have just moved
    ],
)
def test_clauses_can_hold_and_fail(solver: Solver, clause: str, expected: bool) -> None:
    """Each kind of clause tells a route that keeps it from one that does not (D6 G5 D6, held)."""
    route = solver.solve(read_notation("D6:1/1 G5:1/1 D6:1/1"))
    assert holds(clause, route) is expected


def test_a_clause_that_says_nothing_is_refused(solver: Solver) -> None:
    """A slip of the pen in a table of cases is an error, not a case that holds."""
    with pytest.raises(ValueError, match="no such clause"):
        holds("1 posesses T", solver.solve(read_notation("D6")))
