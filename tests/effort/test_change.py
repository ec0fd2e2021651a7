"""Change times: sums of shares, against hand-made sums and a second formula from the tables' text."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.oracles.change_time import change_ms
from tests.oracles.flutes import FIGURES, candidate, solver_of

from gripway.effort.candidate import Candidate
from gripway.effort.change import context_factor

MODEL = solver_of().model
PLAIN_PITCHES = st.integers(60, 99)


def ms(before: Candidate, after: Candidate, alternation: float = 0.0) -> float:
    """Change time between two candidates."""
    return MODEL.change(before, after).ms(alternation, FIGURES)


def test_one_thumb_move_in_a_line() -> None:
    """B4-C5 lifts the thumb alone: 96 x 1.15 as a trill, x 0.9 in a line."""
    before, after = candidate("B4"), candidate("C5")
    assert ms(before, after, 1.0) == pytest.approx(96 * 1.15)
    assert ms(before, after) == pytest.approx(96 * 1.15 * 0.9)


def test_c_to_d_by_standard_grips_is_a_sum() -> None:
    """C5-D5 by standard grips takes about 329 ms, the sum of the shares, and not their product, 564 ms.

    329 and 564 ms: a trial of the same readings, whose small shares (key train, ring and little
    finger) were not quite ours; so 5 per cent are allowed.
    """
    change = MODEL.change(candidate("C5"), candidate("D5"))
    movers = {"LT": "down", "L1": "up", "L2": "down", "L3": "down"}
    assert dict(change.movers) == movers | {"R1": "down", "R2": "down", "R3": "down", "R4": "up"}
    # seven fingers beyond the first, both hands, a swap in the left hand, a ring-little swap in
    # the right; 11 holes move (bits of the two patterns that differ)
    shares = 7 * 0.05 + 0.2 + 0.45 + 0.55 + 10 * 0.02
    assert change.alternating_ms == pytest.approx(96 * 1.20 * (1 + shares))
    assert change.alternating_ms == pytest.approx(329, rel=0.05)


def test_shares_are_added() -> None:
    """Time over base and slowest finger is one plus the sum of the named shares."""
    for pair in (("E4", "F#4"), ("C5", "D5"), ("F#6", "G#6"), ("G#6", "A6"), ("D#4", "F#4")):
        change = MODEL.change(candidate(pair[0]), candidate(pair[1]))
        expected = (
            FIGURES.base * change.slowest * change.slide * (1 + sum(share for _, share in change.terms))
        )
        assert change.alternating_ms == pytest.approx(expected)


def test_a_line_is_quicker_than_an_alternation() -> None:
    """96 ms is a limit of trills: a change in a line takes 0.9 of it, in between the ramp."""
    assert context_factor(0.0, FIGURES) == 0.9
    assert context_factor(1.0, FIGURES) == 1.0
    assert context_factor(0.5, FIGURES) == pytest.approx(0.95)


def test_a_lever_is_under_the_finger_in_an_alternation() -> None:
    """The reach to the side lever is paid in a line and not in a full alternation."""
    change = MODEL.change(candidate("B4"), candidate("A#4", "T L1 | Sb Eb"))
    assert change.lever_ms == pytest.approx(0.1 * 96)
    assert change.ms(1.0, FIGURES) == pytest.approx(change.alternating_ms)
    assert change.ms(0.0, FIGURES) == pytest.approx(0.9 * (change.alternating_ms + change.lever_ms))


def test_side_lever_beats_one_and_one_for_b() -> None:
    """A#-B is quicker by the lever than by R1, which moves three holes (players' forum; common practice)."""
    lever, one = candidate("A#5", "T L1 | Sb Eb"), candidate("A#5", "T L1 | R1 Eb")
    assert ms(lever, candidate("B5", over="Sb"), 1.0) == pytest.approx(96)
    assert ms(one, candidate("B5"), 1.0) == pytest.approx(96 * 1.04)


def test_no_mover_takes_no_time() -> None:
    """E5 and E4 share their grip: no finger moves."""
    change = MODEL.change(candidate("E4"), candidate("E5"))
    assert (change.movers, change.alternating_ms, change.ms(0.0, FIGURES)) == ((), 0.0, 0.0)


def test_the_slide_on_the_foot_is_the_slow_one() -> None:
    """D#4-C#4 (R4 slides, x 2.4) takes longer than D#4-D4 (R4 lifts): common practice, no source."""
    assert ms(candidate("D#4"), candidate("C#4")) > 2.0 * ms(candidate("D#4"), candidate("D4"))


@settings(max_examples=60, deadline=None)
@given(PLAIN_PITCHES, PLAIN_PITCHES, st.data(), st.floats(0.0, 1.0))
def test_second_formula_agrees(first: int, second: int, data: st.DataObject, alternation: float) -> None:
    """Between any two candidates the time equals the formula read from the tables' text."""
    book = solver_of().book
    before, after = (data.draw(st.sampled_from(book.column(p, True, True))) for p in (first, second))
    holes = (before.pattern ^ after.pattern).bit_count()
    expected = change_ms(before.position, after.position, holes, alternation)
    assert ms(before, after, alternation) == pytest.approx(expected)


@settings(max_examples=40, deadline=None)
@given(PLAIN_PITCHES, PLAIN_PITCHES, st.data())
def test_there_and_back_move_the_same_fingers(first: int, second: int, data: st.DataObject) -> None:
    """The way back moves the same fingers, up for down; only reach and slides may differ in time."""
    book = solver_of().book
    a, b = (data.draw(st.sampled_from(book.column(p, True, True))) for p in (first, second))
    there, back = MODEL.change(a, b), MODEL.change(b, a)
    other_way = {"up": "down", "down": "up"}
    assert [(f, other_way.get(how, how)) for f, how in there.movers] == list(back.movers)
    assert there.alternating_ms == pytest.approx(back.alternating_ms)
