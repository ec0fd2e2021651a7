"""Whether any route keeps the limits, and how little of a sum will do: as enumeration says."""

from dataclasses import replace

import pytest
from tests.every import every
from tests.oracles.small_networks import allowed_paths, random_network, sum_of

from gripway.limits import feasible
from gripway.limits.feasible import Use, any_path, least_use, most_together
from gripway.limits.least_sums import SUMS
from gripway.trellis.constrained_network import Budgets


@every(range(60))
def test_a_path_is_found_where_there_is_one(seed: int) -> None:
    """It keeps the limits; where enumeration finds none, none is found."""
    network = random_network(seed)
    kept = [path for path in allowed_paths(network) if network.keeps(path)]
    found = any_path(network, 20.0)
    assert found is not None
    assert tuple(found) in kept if kept else found == []


@every(range(60))
def test_the_least_use_is_the_one_enumeration_finds(seed: int) -> None:
    """Under the other limits, and proved."""
    network = random_network(seed)
    for name in SUMS:
        free = replace(network, budgets=replace(network.budgets, **{name: None}))
        sums = [sum_of(network, path, name) for path in allowed_paths(network) if free.keeps(path)]
        found = least_use(network, name, 20.0)
        assert found == (Use(min(sums), proved=True) if sums else None)


def test_a_figure_found_in_no_time_is_not_called_the_least(monkeypatch: pytest.MonkeyPatch) -> None:
    """A solver that was stopped with some answer: it is possible, but less may be."""
    network = replace(random_network(3), budgets=Budgets(learnt=0))
    path = max(allowed_paths(network), key=lambda path: sum_of(network, path, "learnt"))
    most = sum_of(network, path, "learnt")
    assert most > 1

    def stopped(model: feasible._GripsTogether, _seconds: float) -> list[int]:
        model.optimal = False
        return list(path)

    monkeypatch.setattr(feasible._GripsTogether, "solve", stopped)
    assert least_use(network, "learnt", 1.0) == Use(most, proved=False)


@every(range(60))
def test_as_many_figures_as_can_be_are_kept_together(seed: int) -> None:
    """No path within the limits keeps more of them than those named, and one keeps just those."""
    network = replace(random_network(seed), figures=())
    figures = [((0, 2, 4), frozenset({0, 1})), ((1, 3), frozenset({0, 2, 3})), ((1, 5), frozenset({1, 3}))]
    paths = [path for path in allowed_paths(network) if network.keeps(path)]

    def kept(path: tuple[int, ...]) -> set[int]:
        rows = [{network.counted[p].rows[path[p]] for p in columns} for columns, _ in figures]
        return {n for n, own in enumerate(rows) if len(own) == 1 and own <= figures[n][1]}

    found = most_together(network, figures, 20.0)
    if not paths:
        assert found is None
        return
    assert found is not None
    assert len(found) == max(len(kept(path)) for path in paths)
    assert any(set(found) <= kept(path) for path in paths)
