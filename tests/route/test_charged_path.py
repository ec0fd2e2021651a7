"""The least path with charges for new grips and changes of grip, against every path there is."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.oracles.small_puzzles import charged_puzzle, every_path, least_of
from tests.tiers import examples

from gripway.charges import least_path as charged_path
from gripway.charges.least_path import evened, least_charged
from gripway.trellis.path import INF, least_path
from gripway.trellis.puzzle import STEP, Puzzle

SEEDS = st.integers(0, 10**9)


@settings(max_examples=examples(300))
@given(SEEDS, st.integers(2, 8))
def test_the_answer_is_the_least_of_every_path(seed: int, columns: int) -> None:
    """Effort, bound and path agree with a full enumeration; without a path there is none."""
    puzzle = charged_puzzle(seed, columns)
    least, answer = least_of(puzzle), least_charged(puzzle)
    if least is None:
        assert (answer.path, answer.proved) == ([], True)
        return
    assert answer.proved
    assert answer.cost == answer.bound == least * STEP
    assert puzzle.milli(answer.path) == least


def test_what_a_path_costs_is_counted_alike() -> None:
    """`Puzzle.milli` is what the enumeration counts: nodes, changes, new grips once, returns."""
    for seed in range(30):
        puzzle = charged_puzzle(seed, 5)
        for milli, learnt, path in every_path(puzzle):
            assert puzzle.milli(path) == milli
            assert puzzle.learnt(path) == learnt


@settings(max_examples=examples(150))
@given(SEEDS, st.sampled_from((1, 2, 3)), st.sampled_from((0, 5, 40)))
def test_where_work_ends_the_bound_still_holds(seed: int, branches: int, labels: int) -> None:
    """With hardly any work allowed the route is a route, and no path costs less than the bound."""
    puzzle = charged_puzzle(seed, 7)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(charged_path, "MOST_LABELS", labels)
        answer = least_charged(puzzle, branches)
    least = least_of(puzzle)
    if least is None:
        assert answer.path == []
        return
    assert answer.bound <= least * STEP <= answer.cost
    if answer.path:
        assert puzzle.milli(answer.path) * STEP == answer.cost
    assert answer.proved == (answer.bound == answer.cost)


def test_less_work_proves_less() -> None:
    """Some of a hundred small puzzles are left unproved without branches and labels: the caps do bite."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(charged_path, "MOST_LABELS", 0)
        proved = [least_charged(charged_puzzle(seed, 7), 1).proved for seed in range(100)]
    assert 0 < sum(proved) < 100


@given(SEEDS)
def test_without_charges_it_is_the_plain_least_path(seed: int) -> None:
    """Nothing charged for: the least path of the trellis."""
    puzzle = charged_puzzle(seed, 6)
    free = Puzzle(puzzle.columns, puzzle.places, puzzle.nodes, puzzle.blocks, puzzle.counted, ids=puzzle.ids)
    cost, _ = least_path(free.nodes, free.blocks)
    assert least_charged(free).cost == cost


@given(SEEDS)
def test_a_higher_charge_never_makes_the_route_cheaper(seed: int) -> None:
    """The least cost grows with either charge."""
    puzzle = charged_puzzle(seed, 6)
    plain = least_charged(puzzle).cost
    assert plain <= least_charged(replace(puzzle, charge_milli=puzzle.charge_milli + 100)).cost
    assert plain <= least_charged(replace(puzzle, return_milli=puzzle.return_milli + 100)).cost


@given(SEEDS)
def test_the_same_puzzle_gets_the_same_answer(seed: int) -> None:
    """No chance and no clock: a second search gives the same path."""
    puzzle = charged_puzzle(seed, 6)
    assert least_charged(puzzle) == least_charged(puzzle)


@given(SEEDS)
def test_evening_out_gives_a_route(seed: int) -> None:
    """A good path for a start is an allowed path, no dearer than the plain least path with its charges."""
    puzzle = charged_puzzle(seed, 6)
    path, plain = evened(puzzle), least_path(puzzle.nodes, puzzle.blocks)[1]
    assert bool(path) == bool(plain)
    if path:
        assert puzzle.milli(path) <= puzzle.milli(plain)


@given(SEEDS)
def test_where_no_choice_changes_the_charges_the_least_path_is_theirs(seed: int) -> None:
    """With grips of one row in each column every path pays the same: the answer is proved, the oracle's."""
    puzzle = charged_puzzle(seed, 6)
    alike = [
        [k for k, row in enumerate(c.rows) if (row, c.new[k]) == (c.rows[0], c.new[0])]
        for c in puzzle.counted
    ]
    narrowed = puzzle.only(alike)
    assert narrowed.same_charges
    found, least = least_charged(narrowed), least_of(narrowed)
    assert found.proved
    assert found.cost == (INF if least is None else least * STEP)
    assert bool(found.path) == (least is not None)
