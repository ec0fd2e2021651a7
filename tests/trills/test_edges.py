"""Edges of the thresholds of trills: at the figure and just beside it, with figures read from the table."""

from dataclasses import replace

import pytest

import gripway
from gripway.catalog.tables.trill_pairs import pair_figures
from gripway.effort.candidate import Tendency
from gripway.model.grip import Grip
from gripway.trills.found import Move, _best, _Chance, _chance
from gripway.trills.pair import Pair, interval_text
from gripway.trills.pairing import _distinct, _first, _plausible
from gripway.trills.ranking import is_usable, rank_parts
from gripway.trills.trill_list import pair_flags
from gripway.trills.trill_points import is_gross

FIGURES = pair_figures()
JUST = 0.01


@pytest.fixture(scope="module")
def pair() -> Pair:
    """C5-D5 with the first trill key: a printed pair of one finger."""
    return gripway.trill("C5", "D5", gripway.flute()).pairs[0]


def leaning(pair: Pair, lower: float, upper: float) -> Pair:
    """The pair with other leans, the same from equal temperament and from the standard grips."""
    low, up = (Tendency(cents, 5.0, cents, "taught") for cents in (lower, upper))
    return replace(pair, lower=replace(pair.lower, tendency=low), upper=replace(pair.upper, tendency=up))


def part(pair: Pair, name: str) -> float:
    """The points of one part."""
    return dict(rank_parts(pair, FIGURES, {})).get(name, 0.0)


@pytest.mark.parametrize("side", ["lower", "upper"])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_lean_is_free_up_to_its_figure(pair: Pair, side: str, sign: float) -> None:
    """At the free cents no points; a point's worth beyond one point, more for a sharp upper note."""
    point = FIGURES.sharp_upper_factor if (side, sign) == ("upper", 1.0) else 1.0

    def points(cents: float) -> float:
        sizes = {"lower": 0.0, "upper": 0.0} | {side: sign * cents}
        return part(leaning(pair, sizes["lower"], sizes["upper"]), f"{side} note")

    assert points(FIGURES.free_cents) == 0.0
    assert points(FIGURES.free_cents + FIGURES.point_cents) == pytest.approx(point, abs=1e-3)


def test_a_width_is_free_up_to_its_figure(pair: Pair) -> None:
    """The same for the interval between the two notes."""
    assert part(leaning(pair, 0.0, FIGURES.free_cents), "width") == 0.0
    off = FIGURES.free_cents + FIGURES.interval_point_cents
    assert part(leaning(pair, -off / 2, off / 2), "width") == pytest.approx(1.0, abs=1e-3)


def test_an_interval_is_in_tune_below_its_figure(pair: Pair) -> None:
    """Just below it is said to be in tune, at it its cents are told."""
    assert interval_text(leaning(pair, 0.0, FIGURES.in_tune_cents - JUST)) == "whole tone in tune"
    assert interval_text(leaning(pair, 0.0, FIGURES.in_tune_cents)).endswith(" wide")
    assert interval_text(leaning(pair, 0.0, -FIGURES.in_tune_cents)).endswith(" narrow")


@pytest.mark.parametrize(("sign", "word"), [(1.0, "sharp"), (-1.0, "flat")])
def test_a_lean_is_told_from_its_figure_on(pair: Pair, sign: float, word: str) -> None:
    """At the cents of a flag it is told with its side, just below it is not."""
    at, below = sign * FIGURES.flag_cents, sign * (FIGURES.flag_cents - JUST)
    assert f"lower note {word}" in pair_flags(leaning(pair, at, 0.0))
    assert f"upper note {word}" in pair_flags(leaning(pair, 0.0, at))
    assert not any(" note " in flag for flag in pair_flags(leaning(pair, below, below)))


def test_a_pair_is_slow_below_its_speed(pair: Pair) -> None:
    """As many notes a second as the figure are quick enough, just fewer are slow."""
    for notes_per_s, slow in (
        (FIGURES.slow_notes_a_second, False),
        (FIGURES.slow_notes_a_second * 0.999, True),
    ):
        change = replace(pair.change, alternating_ms=1000.0 / notes_per_s)
        assert ("slow" in pair_flags(replace(pair, change=change))) is slow


def test_a_note_may_lean_as_far_as_its_name_goes(pair: Pair) -> None:
    """At the widest lean a pair is plausible, on either side and for either note; beyond it is not."""
    widest = FIGURES.widest_lean_cents
    for sign in (1.0, -1.0):
        assert _plausible(leaning(pair, sign * widest, sign * widest))
        assert not _plausible(leaning(pair, sign * (widest + JUST), 0.0))
        assert not _plausible(leaning(pair, 0.0, sign * (widest + JUST)))


def test_a_row_that_tells_of_a_lean_is_usable_up_to_the_gross_figure(pair: Pair) -> None:
    """At it, yes; beyond it, no, for the lower note as for the upper."""
    assert pair.row is not None
    row = replace(pair.row, lower_cents=-20.0, upper_cents=-20.0)
    for sign in (1.0, -1.0):
        at, beyond = sign * FIGURES.gross_cents, sign * (FIGURES.gross_cents + JUST)
        for lower, upper, usable in ((at, at, True), (beyond, 0.0, False), (0.0, beyond, False)):
            of = leaning(pair, lower, upper)
            assert is_usable(row, of.lower, of.upper, FIGURES) is usable


def test_a_pair_is_gross_beyond_its_figure(pair: Pair) -> None:
    """At it, not yet; beyond it, for either note on either side."""
    for sign in (1.0, -1.0):
        at, beyond = sign * FIGURES.gross_cents, sign * (FIGURES.gross_cents + JUST)
        assert not is_gross(leaning(pair, at, at))
        assert is_gross(leaning(pair, beyond, 0.0))
        assert is_gross(leaning(pair, 0.0, beyond))


def test_a_row_of_low_confidence_that_is_asked_for_is_usable_below_the_figure_of_a_flag(pair: Pair) -> None:
    """Just below it, yes; at it, no; unasked never."""
    assert pair.row is not None
    row = replace(pair.row, confidence="low")
    for lean, usable in ((FIGURES.flag_cents - JUST, True), (FIGURES.flag_cents, False)):
        of = leaning(pair, 0.0, lean)
        lower, upper = (replace(note, response="") for note in (of.lower, of.upper))
        assert is_usable(row, lower, upper, FIGURES, asked_for=True) is usable
        assert not is_usable(row, lower, upper, FIGURES)


def test_two_fingers_and_three(pair: Pair) -> None:
    """One finger has its own size, two count together, and only the third and later ones come to it."""

    def fingers(*movers: tuple[str, str]) -> float:
        return part(replace(pair, change=replace(pair.change, movers=movers)), "fingers")

    one, two, three = ("R1", "up"), ("R2", "up"), ("R3", "up")
    assert fingers(one) == pytest.approx(FIGURES.finger("R1"))
    assert fingers(one, two) == pytest.approx(FIGURES.together_points)
    assert fingers(one, two, three) == pytest.approx(FIGURES.together_points + FIGURES.more_fingers_points)
    assert fingers(("LT", "up"), one) == pytest.approx(FIGURES.two_hands_points)
    assert fingers(("LT", "up"), ("L1", "up")) == pytest.approx(FIGURES.together_points)
    assert fingers(one, ("R2", "down")) == pytest.approx(max(FIGURES.together_points, FIGURES.swap_points))
    assert fingers(("R1", "across"), two) == pytest.approx(max(FIGURES.together_points, FIGURES.swap_points))


def test_an_equal_set_of_fingers_is_left_out(pair: Pair) -> None:
    """A second pair with the same holes and the same movers goes, one with others stays; room is kept."""
    plain = replace(pair, row=None, kind="known")
    other = replace(plain, change=replace(pair.change, movers=(("L3", "up"),)))
    more = replace(plain, change=replace(pair.change, movers=(*pair.change.movers, ("L3", "up"))))
    assert list(_distinct([plain, plain, other, more])) == [plain, other]
    assert list(_first([plain, pair, other, plain], 2)) == [plain, pair, other]
    assert list(_first([plain, pair, other], 0)) == [pair]


def chance(fingers: int, cents: float, loss: float, mask: int = 1) -> _Chance:
    """A new grip of D5 beside a known one of C5."""
    return _chance(72, Grip(0), 74, Move(mask, mask, fingers), (cents, loss))


def test_only_a_second_finger_a_lean_and_a_loss_beyond_the_standards_count_against_a_found_pair() -> None:
    """One finger, in tune, with no more loss than the standard grip: nothing; each figure a point."""
    assert chance(1, 0.0, 1.0).order[0] == chance(1, 0.0, 0.5).order[0] == 0.0
    assert chance(2, 0.0, 1.0).order[0] == pytest.approx(FIGURES.found_finger_points)
    assert chance(1, -FIGURES.point_cents, 1.0).order[0] == pytest.approx(1.0)
    assert chance(1, 0.0, 1.0 + FIGURES.found_loss_point_ratio).order[0] == pytest.approx(1.0)


def test_no_more_found_pairs_are_kept_than_asked_for() -> None:
    """The best ones, each hole pattern once."""
    three = [chance(1, cents, 1.0, mask) for mask, cents in ((1, 5.0), (2, 9.0), (4, 2.0))]
    assert [each.pattern for each in _best([*three, *three], 2)] == [4, 1]
    assert len(_best(three, 3)) == 3
