"""Edges of limits: what just keeps a bound, and what just breaks it."""

from dataclasses import replace

import pytest
from tests.every import every
from tests.oracles.flutes import candidate
from tests.oracles.passages import played
from tests.oracles.small_networks import allowed_paths, enumerated, random_network

from gripway.asked.limits import TOO_MUCH, Limits
from gripway.effort.candidate import Candidate, Tendency
from gripway.errors import RequestError
from gripway.limits.build import Terms
from gripway.limits.dominance import _within, without_dominated
from gripway.limits.least_sums import LeastSums, least_worst
from gripway.limits.proved_path import _LimitedSearch, limited_path
from gripway.trellis.constrained_network import STEP, Budgets, ConstrainedNetwork, Counted

SUMS = ("unusual", "tenths", "learnt")


def least_of(network: ConstrainedNetwork) -> int | None:
    """Thousandths of the least path within the limits; None where there is none."""
    path = limited_path(network, 20.0).path
    return None if path is None else network.milli(path)


@every((seed, name) for seed in range(25) for name in SUMS)
def test_a_bound_that_is_just_kept_costs_nothing(seed: int, name: str) -> None:
    """A limit as large as what the best route uses changes nothing; one less gives a route that uses less."""
    free = replace(random_network(seed), budgets=Budgets())
    path = limited_path(free, 20.0).path
    if path is None:
        return
    counted = replace(free, budgets=replace(Budgets(), **{name: 10**6}))
    used = getattr(counted.used(path), name)
    at = replace(free, budgets=replace(Budgets(), **{name: used}))
    assert at.keeps(path)
    assert least_of(at) == free.milli(path) == enumerated(at)
    below = replace(free, budgets=replace(Budgets(), **{name: used - 1}))
    assert not below.keeps(path)
    assert least_of(below) == enumerated(below)
    if (less := limited_path(below, 20.0).path) is not None:
        assert getattr(counted.used(less), name) < used


@every((seed, name) for seed in range(25) for name in SUMS)
def test_the_least_sum_is_possible_and_one_less_is_not(seed: int, name: str) -> None:
    """At the least there is, nothing is called impossible; below it, it is."""
    network = replace(random_network(seed), budgets=Budgets())
    least = LeastSums(network).of(name)
    if least is None:
        return
    for most, impossible in ((least, False), (least - 1, True)):
        asked = replace(network, budgets=replace(Budgets(), **{name: most}))
        assert LeastSums(asked).impossible() is impossible


@every(range(25))
def test_the_least_worst_lean_is_that_of_a_path(seed: int) -> None:
    """The smallest of the largest leans over all paths, found at its own size and not the next."""
    network = random_network(seed)
    worst = [
        max(c.tenths[k] for c, k in zip(network.counted, path, strict=True))
        for path in allowed_paths(network)
    ]
    found = least_worst(replace(network, figures=()), lambda p, k: network.counted[p].tenths[k])
    if worst and not network.figures:
        assert found == min(worst)


def leaning(cents: float) -> Candidate:
    """A grip with this lean."""
    return replace(candidate("E6"), tendency=Tendency(cents, 5.0, cents, "taught"))


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_lean_is_too_far_beyond_its_limit(sign: float) -> None:
    """At the limit a grip may stand, a tenth of a cent beyond it may not; the ornament's notes count too."""
    notes = played("E6").notes
    terms = Terms(notes, Limits(worst_cents=20.0), 0, 1.1)
    assert terms.local_limit(leaning(sign * 20.0), 0) == ""
    assert terms.local_limit(leaning(sign * 20.1), 0) == Limits(worst_cents=20.0).words()["worst_cents"]
    beside = replace(terms, others=lambda *_: (None, leaning(sign * 20.1)))
    assert beside.local_limit(leaning(0.0), 0) != ""
    assert replace(terms, limits=Limits()).local_limit(leaning(sign * 90.0), 0) == ""


def counts(unusual: tuple[int, int], tenths: tuple[int, int]) -> Counted:
    """Two candidates that count for so much."""
    return Counted(unusual, tenths, (1, 2), (None, None), (1, 2))


def test_a_candidate_that_uses_as_much_may_stand_for_another() -> None:
    """As much of a limit is no more; one more is, where that is limited at all."""
    both = Budgets(1, 10, None)
    assert _within(counts((1, 1), (5, 5)), 0, 1, both)
    assert not _within(counts((1, 0), (5, 5)), 0, 1, both)
    assert not _within(counts((1, 1), (6, 5)), 0, 1, both)
    assert _within(counts((1, 0), (6, 5)), 0, 1, Budgets())


@pytest.mark.parametrize("name", ["unusual", "learnt", "tuning_cents", "worst_cents"])
def test_a_limit_lies_within_its_ends(name: str) -> None:
    """None at all may be asked for, too much and less than nothing may not."""
    for value in (0, TOO_MUCH - 1):
        assert getattr(Limits(**{name: value}), name) == value  # type: ignore[arg-type]
    for value in (-1, TOO_MUCH):
        with pytest.raises(RequestError):
            Limits(**{name: value})  # type: ignore[arg-type]


def test_a_search_has_some_time_and_at_most_an_hour() -> None:
    """An hour may be given, more or none may not."""
    assert Limits(seconds=3600.0).seconds == 3600.0
    for seconds in (0.0, 3600.1):
        with pytest.raises(RequestError):
            Limits(seconds=seconds)


@pytest.mark.parametrize(("more", "kept"), [(-1, 1), (0, 1), (1, 2)])
def test_a_candidate_is_beaten_by_one_that_takes_no_more(more: int, kept: int) -> None:
    """Cheaper in itself, dearer to come to: as dear in all it stands for the other, a trace dearer not."""
    alike = Counted((0, 0), (0, 0), (1, 2), (None, None), (1, 2))
    network = ConstrainedNetwork(
        columns=((None,), (None, None)),  # type: ignore[arg-type]
        places=(0, 1),
        nodes=((0,), (0, 5 * STEP)),
        blocks=((), [[5 * STEP + more], [0]]),
        counted=(Counted((0,), (0,), (1,), (None,), (1,)), alike),
        ids=((0,), (0, 1)),
    )
    assert len(without_dominated(network).nodes[1]) == kept


@pytest.mark.parametrize(("bound", "still_open"), [(99, True), (100, False), (101, False)])
def test_a_route_is_proved_once_the_bound_reaches_it(bound: int, still_open: bool) -> None:
    """A thousandth below its effort a better one is still possible."""
    search = _LimitedSearch(random_network(0), 0.0)
    search.milli, search.bound = 100, bound
    assert search._open() == still_open
