"""The settings of dials that are looked at."""

import random

import numpy as np

from gripway.taste.dial_settings import SMALLEST, DialRanges, first_settings, settings_near

RANGES = DialRanges(("a", "b", "c", "d", "e"), (1.0,) * 5, (0.0,) * 5, (4.0,) * 5)


def test_the_dials_as_they_stand_come_first_and_all_stay_inside_their_ranges() -> None:
    """No setting is below the least or above the most, none comes twice."""
    found = first_settings(RANGES, 5000)
    assert found[0].tolist() == [1.0] * 5
    assert found.min() >= 0.0
    assert found.max() <= 4.0
    assert len(np.unique(found, axis=0)) == len(found)
    assert {int((row != 1.0).sum()) for row in found} == {0, 1, 2, 3, 4}


def test_fewer_are_thinned_evenly() -> None:
    """At most so many, the dials as they stand still first."""
    found = first_settings(RANGES, 100)
    assert len(found) == 100
    assert found[0].tolist() == [1.0] * 5


def test_how_far_a_setting_lies() -> None:
    """A doubling and a halving are two octaves; a dial at 0 is counted from the smallest that matters."""
    far = RANGES.octaves(np.array([[2, 1, 0.5, 1, 1], [0, 1, 1, 1, 1]], dtype=np.float32))
    assert far.tolist() == [2.0, np.log2(1 / SMALLEST)]


def test_settings_near_others_keep_the_ranges_and_are_the_same_each_time() -> None:
    """Seeded: equal questions get equal settings."""
    best = np.array([[4, 0, 1, 2, 0.5]], dtype=np.float32)
    one, two = (settings_near(best, RANGES, 1.0, 40, random.Random(3)) for _ in range(2))
    assert (one == two).all()
    assert one.min() >= 0.0
    assert one.max() <= 4.0
