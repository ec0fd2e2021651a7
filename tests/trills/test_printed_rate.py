"""The printed best pair of a half or whole step is among our first ones, or the reason is shown.

Seen when written: 64 of 68 (94 %) among the first three, 49 first; `python -m tests.trills.printed_rate`.
"""

from tests.trills.printed_rate import FIRST, STEPS, placed

HITS, FIRSTS = 64, 49


def test_all_half_and_whole_steps_are_looked_at() -> None:
    """36 half and 35 whole steps from C4 to C7."""
    assert len(STEPS) == 71
    assert sum(high - low == 1 for low, high in STEPS) == 36


def test_the_printed_best_is_among_our_first_three() -> None:
    """As often as when it was written, or more."""
    assert sum(one.first for one in placed()) >= HITS
    assert sum(one.place == 1 for one in placed()) >= FIRSTS


def test_every_miss_has_its_reason() -> None:
    """Where the printed best stands lower, or nothing good is printed, a reason says why."""
    for one in placed():
        assert one.first == (not one.reason), one.name
        if one.place is not None and one.place > FIRST:
            assert "has more for: " in one.reason
            assert "+" in one.reason
