"""Linear models: a few that can be solved by hand."""

from math import inf

import pytest

from gripway.limits.linear_model import LinearModel


def cake(*, whole: bool) -> LinearModel:
    """Three things worth 60, 100 and 120, of 10, 20 and 30 pounds, 50 in all: a textbook's knapsack."""
    model = LinearModel()
    things = [model.variable(-worth, whole=whole) for worth in (60, 100, 120)]
    model.row(dict(zip(things, (10.0, 20.0, 30.0), strict=True)), -inf, 50.0)
    return model


def test_whole_things_only() -> None:
    """The second and the third, worth 220."""
    found = cake(whole=True).solve(10.0, 1000)
    assert (found.best, found.none, found.bound) == (True, False, -220)
    assert found.values == pytest.approx({1: 1.0, 2: 1.0})


def test_parts_of_things_and_the_price_of_a_pound() -> None:
    """Two thirds of the third make it 240; a pound more would be worth 4."""
    found = cake(whole=False).solve(10.0, 1000)
    assert (found.best, found.bound) == (True, -240)
    assert found.values == pytest.approx({0: 1.0, 1: 1.0, 2: 2 / 3})
    assert found.prices == pytest.approx({0: -4.0})


def test_what_cannot_be_is_said() -> None:
    """Two things together more than they can be."""
    model = cake(whole=True)
    model.row({0: 1.0, 1: 1.0}, 3.0, 3.0)
    found = model.solve(10.0, 1000)
    assert (found.none, dict(found.values)) == (True, {})
