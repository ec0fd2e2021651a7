"""Whether any route keeps the limits, and how little of a sum will do: as enumeration says."""

from dataclasses import replace

import pytest
from tests.every import every
from tests.oracles.small_puzzles import allowed_paths, random_puzzle, sum_of

from gripway.limits import feasible
from gripway.limits.feasible import Use, any_path, least_use, most_together
from gripway.limits.least_sums import SUMS
from gripway.trellis.puzzle import Budgets


@every(range(60))
def test_a_path_is_found_where_there_is_one(seed: int) -> None:
    """It keeps the limits; where enumeration finds none, none is found."""
    puzzle = random_puzzle(seed)
    kept = [path for path in allowed_paths(puzzle) if puzzle.keeps(path)]
    found = any_path(puzzle, 20.0)
    assert found is not None
    assert tuple(found) in kept if kept else found == []


@every(range(60))
def test_the_least_use_is_the_one_enumeration_finds(seed: int) -> None:
    """Under the other limits, and proved."""
    puzzle = random_puzzle(seed)
    for name in SUMS:
        free = replace(puzzle, budgets=replace(puzzle.budgets, **{name: None}))
        sums = [sum_of(puzzle, path, name) for path in allowed_paths(puzzle) if free.keeps(path)]
        found = least_use(puzzle, name, 20.0)
        assert found == (Use(min(sums), proved=True) if sums else None)


def test_a_figure_found_in_no_time_is_not_called_the_least(monkeypatch: pytest.MonkeyPatch) -> None:
    """A solver that was stopped with some answer: it is possible, but less may be."""
    puzzle = replace(random_puzzle(3), budgets=Budgets(learnt=0))
    path = max(allowed_paths(puzzle), key=lambda path: sum_of(puzzle, path, "learnt"))
    most = sum_of(puzzle, path, "learnt")
    assert most > 1

    def stopped(model: feasible._GripsTogether, _seconds: float) -> list[int]:
        model.optimal = False
        return list(path)

    monkeypatch.setattr(feasible._GripsTogether, "solve", stopped)
    assert least_use(puzzle, "learnt", 1.0) == Use(most, proved=False)


@every(range(60))
def test_as_many_figures_as_can_be_are_kept_together(seed: int) -> None:
    """No path within the limits keeps more of them than those named, and one keeps just those."""
    puzzle = replace(random_puzzle(seed), figures=())
    figures = [((0, 2, 4), frozenset({0, 1})), ((1, 3), frozenset({0, 2, 3})), ((1, 5), frozenset({1, 3}))]
    paths = [path for path in allowed_paths(puzzle) if puzzle.keeps(path)]

    def kept(path: tuple[int, ...]) -> set[int]:
        rows = [{puzzle.counted[p].rows[path[p]] for p in columns} for columns, _ in figures]
        return {n for n, own in enumerate(rows) if len(own) == 1 and own <= figures[n][1]}

    found = most_together(puzzle, figures, 20.0)
    if not paths:
        assert found is None
        return
    assert found is not None
    assert len(found) == max(len(kept(path)) for path in paths)
    assert any(set(found) <= kept(path) for path in paths)
