"""Which of several ways of explaining marks is believed."""

import numpy as np

from gripway.taste.fitted import Fitted, HeldOut, believed

HELD = HeldOut(20, 0, 0, 0, 0, 1.0, 5, "passage")
WEIGHTS = np.ones(20)


def fitted(right: int, changes: int) -> Fitted:
    """What explains the first so many of twenty marks while held out, with so many changes."""
    came = np.arange(20) < right
    return Fitted((), (), right, right, came, float(right), 0.0, changes, HELD)


def test_the_edges_of_one_standard_error() -> None:
    """One mark more than with fewer changes is its own error (1), two are more than theirs (1.41)."""
    simple, one_more, two_more = fitted(10, 1), fitted(11, 3), fitted(12, 3)
    assert believed([one_more, simple], WEIGHTS) is simple
    assert believed([two_more, simple], WEIGHTS) is two_more


def test_of_as_many_changes_the_better_is_believed() -> None:
    """Whatever their order."""
    worse, better = fitted(10, 1), fitted(11, 1)
    assert believed([worse, better], WEIGHTS) is believed([better, worse], WEIGHTS) is better
