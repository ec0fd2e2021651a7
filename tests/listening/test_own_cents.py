"""From takes to cents: a difference paired in time, an honest range, the player's own reference."""

from dataclasses import replace

import numpy as np
import pytest
from tests.listening.sessions import OTHER, STANDARD, asked_for

from gripway.catalog.tables.listening_figures import cents_figures
from gripway.effort.candidate import Tendency
from gripway.listening.own_cents import difference, heard
from gripway.listening.student_t import student_95
from gripway.listening.takes import BLOCKS, SHORT, Refusal, Take
from gripway.listening.takes import OTHER as OTHER_BLOCK

FIGURES = cents_figures()
AT_FIFTEEN = Tendency(15.0, 10.0, 0.0, "taught")


def nine(
    standard: float = 0.0,
    other: float = 12.0,
    warmer: float = 0.0,
    unlike: float = 0.0,
    seed: int = 0,
    place: int = 0,
) -> list[Take]:
    """Nine takes with these cents, two seconds and a breath apart."""
    chance = np.random.default_rng(seed)
    return [
        Take(
            place,
            block,
            3.0 * (9 * place + 3 * b + k),
            3.0 * (9 * place + 3 * b + k) + 2.0,
            (other if block == OTHER_BLOCK else standard) + warmer * (3 * b + k) + chance.normal(0.0, unlike),
        )
        for b, block in enumerate(BLOCKS)
        for k in range(3)
    ]


@pytest.mark.parametrize("warmer", [-4.0, 0.0, 1.0, 5.0])
def test_warming_up_moves_no_difference(warmer: float) -> None:
    """However fast the flute grows sharp, as long as it does so evenly."""
    found = difference(nine(warmer=warmer), FIGURES)
    assert found is not None
    assert found.vs_standard == pytest.approx(12.0)
    assert (found.takes, found.standard_takes) == (3, 6)


def test_a_missing_take_leaves_the_warming_out_as_well() -> None:
    """The first take of the standard grip and the last of the other one are refused."""
    takes = nine(warmer=3.0)
    for k in (0, 5):
        takes[k] = replace(takes[k], cents=None, refused=Refusal(SHORT, 0.5))
    found = difference(takes, FIGURES)
    assert found is not None
    assert found.vs_standard == pytest.approx(12.0)


@pytest.mark.parametrize("block", BLOCKS)
def test_a_block_needs_two_good_takes(block: str) -> None:
    """With one refused it is measured, with two it is not, whichever block it is."""
    takes = nine()
    mine = [k for k, take in enumerate(takes) if take.block == block]
    takes[mine[0]] = replace(takes[mine[0]], cents=None)
    assert difference(takes, FIGURES) is not None
    takes[mine[1]] = replace(takes[mine[1]], cents=None)
    assert difference(takes, FIGURES) is None


def test_the_range_is_never_below_three_cents() -> None:
    """Takes that agree to a hair still have the range of the table."""
    found = difference(nine(), FIGURES)
    assert found is not None
    assert found.spread_cents == FIGURES.spread_least_cents == 3.0


def test_nine_in_ten_repeats_lie_within_the_range() -> None:
    """Of a thousand players whose takes differ by 8 cents: 87 to 93 of a hundred (three standard errors)."""
    inside = 0
    for seed in range(1000):
        found = difference(nine(unlike=8.0, warmer=1.0, seed=seed), FIGURES)
        assert found is not None
        inside += abs(found.vs_standard - 12.0) <= found.spread_cents
    assert 870 <= inside <= 930


@pytest.mark.parametrize("freedom", [2, 3, 4, 5, 6, 10, 50])
def test_students_t_is_that_of_the_tables(freedom: int) -> None:
    """Against scipy, within 1 %, two degrees within 2 %."""
    from scipy import stats  # takes a second to load

    assert student_95(freedom) == pytest.approx(stats.t.ppf(0.95, freedom), rel=0.02 if freedom < 3 else 0.01)


def test_the_reference_is_what_puts_the_standard_grip_where_it_is_expected() -> None:
    """A standard grip expected at +15 and heard at +23 means an A4 that is 8 cents high."""
    found = heard([asked_for()], nine(standard=23.0, other=35.0), [AT_FIFTEEN], FIGURES)
    assert found.reference_cents == pytest.approx(8.0)
    (one,) = found.measured
    assert (one.grip, one.cents, one.vs_standard, one.takes) == (OTHER, 27.0, 12.0, 3)
    assert found.reckoned_from == 1


def test_the_place_of_the_standard_grip_is_doubted_in_the_cents() -> None:
    """The difference is sure within 3 cents; where it lies hangs on the standard grip's own 10."""
    (one,) = heard([asked_for()], nine(), [AT_FIFTEEN], FIGURES).measured
    assert (one.spread_cents, one.vs_spread_cents) == (10.4, 3.0)  # the root of 100 + 9


def test_a_reference_that_is_given_measures_the_standard_grip_as_well() -> None:
    """At an A4 of +5 cents a standard grip heard at +23 lies at +18, whatever was expected of it."""
    found = heard([asked_for()], nine(standard=23.0, other=35.0), [AT_FIFTEEN], FIGURES, 5.0)
    standard, other = found.measured
    assert (standard.grip, standard.cents, standard.spread_cents) == (STANDARD, 18.0, 3.0)
    assert (other.cents, other.spread_cents, other.vs_spread_cents) == (30.0, 4.2, 3.0)
    assert (found.reference_cents, found.reckoned_from) == (5.0, 0)


def test_tuned_higher_the_same_cents_are_found() -> None:
    """A flute pulled in by 20 cents has another reference and the same row."""
    low, high = (
        heard([asked_for()], nine(standard=s, other=s + 12.0), [AT_FIFTEEN], FIGURES) for s in (0.0, 20.0)
    )
    assert low.measured == high.measured
    assert high.reference_cents is not None
    assert low.reference_cents is not None
    assert high.reference_cents - low.reference_cents == pytest.approx(20.0)


def test_from_five_pitches_on_the_standard_grips_are_measured() -> None:
    """Four pitches give four rows; five give ten, and the standard grips lie where they were heard."""
    off = (-6.0, 4.0, 0.0, 10.0, -8.0)
    asked = [asked_for(84 + k) for k in range(5)]
    takes = [take for k in range(5) for take in nine(off[k], off[k] + 12.0, place=k)]
    expected = [Tendency(0.0, 8.0, 0.0, "judgement")] * 5
    four = heard(asked[:4], [take for take in takes if take.place < 4], expected[:4], FIGURES)
    assert [one.vs_standard for one in four.measured] == [12.0] * 4
    five = heard(asked, takes, expected, FIGURES)
    standards = [one for one in five.measured if one.vs_standard is None]
    assert [one.grip for one in standards] == [STANDARD] * 5
    assert [one.cents for one in standards] == pytest.approx(off, abs=0.1)  # their mean is 0
    assert all(3.0 < one.spread_cents < 8.0 for one in standards)
    others = [one for one in five.measured if one.vs_standard is not None]
    assert [one.cents for one in others] == pytest.approx([each + 12.0 for each in off], abs=0.15)


def test_two_grips_of_a_pitch_have_one_standard_row() -> None:
    """The same standard grip is not written twice."""
    asked = [*(asked_for(84 + k) for k in range(5)), asked_for(88, STANDARD, OTHER)]
    asked[5] = replace(asked[5], grip=asked[5].grip, standard=STANDARD, pitch=88)
    takes = [take for k in range(6) for take in nine(place=k)]
    found = heard(asked, takes, [Tendency(0.0, 8.0, 0.0, "judgement")] * 6, FIGURES)
    rows = [(one.pitch, one.grip) for one in found.measured if one.vs_standard is None]
    assert len(rows) == len(set(rows)) == 5


def test_nothing_is_measured_where_nothing_can_be() -> None:
    """No reference, no rows."""
    takes = [replace(take, cents=None) for take in nine()]
    found = heard([asked_for()], takes, [AT_FIFTEEN], FIGURES)
    assert (found.measured, found.reference_cents) == ((), None)
