"""Change times by two laws, against sums by hand, old figures and a second formula from the tables."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.oracles.change_time import change_ms, turning_ms
from tests.oracles.flutes import FIGURES, candidate, solver_of
from tests.tiers import examples

from gripway.effort.candidate import Candidate
from gripway.effort.change_time import NO_CHANGE, Change, in_context
from gripway.effort.hand import FINGER_BITS
from gripway.effort.setting import Link

MODEL = solver_of().model
PLAIN_PITCHES = st.integers(60, 99)


def change(before: str, after: str, *grips: str) -> Change:
    """The change between two pitches, by their standard grips or by these."""
    return MODEL.change(*(candidate(p, g) for p, g in zip((before, after), grips or ("", ""), strict=True)))


def ms(before: Candidate, after: Candidate, alternation: float = 0.0) -> float:
    """Change time between two candidates whose fingers are rested."""
    found = MODEL.change(before, after)
    return in_context(found.alternating_ms, found.line_ms, alternation)


def test_one_thumb_move_by_both_laws() -> None:
    """B4-C5 lifts the thumb alone: 96 x 1.15 as a trill, 36 x 1.15 inside a line."""
    before, after = candidate("B4"), candidate("C5")
    assert ms(before, after, 1.0) == pytest.approx(96 * 1.15)
    assert ms(before, after) == pytest.approx(36 * 1.15)
    assert ms(before, after, 0.5) == pytest.approx(66 * 1.15)


def test_c_to_d_by_standard_grips_is_a_sum() -> None:
    """C5-D5 by standard grips takes about 329 ms as a trill, the sum of the shares; their product is 564 ms.

    329 and 564 ms: a trial of the same readings, whose small shares (key train, ring and little
    finger) were not quite ours; so 5 per cent are allowed.
    """
    found = change("C5", "D5")
    movers = {"LT": "down", "L1": "up", "L2": "down", "L3": "down"}
    assert dict(found.movers) == movers | {"R1": "down", "R2": "down", "R3": "down", "R4": "up"}
    # seven fingers beyond the first, both hands, a swap in the left hand, a ring-little swap in
    # the right; 11 holes move (bits of the two patterns that differ)
    shares = 7 * 0.05 + 0.2 + 0.45 + 0.55 + 10 * 0.02
    assert found.alternating_ms == pytest.approx(96 * 1.20 * (1 + shares))
    assert found.alternating_ms == pytest.approx(329, rel=0.05)


def test_c_to_d_in_a_line_by_hand() -> None:
    """The same inside a line: L1's travel, both hands, a swap in each, two more fingers each way.

    Left: one up, three down (two beyond the first of each way); right: three down, R4 up (two).
    """
    found = change("C5", "D5")
    expected = {"travel": 36 * 1.2, "two hands": 6, "swap": 20 + 26, "fingers together": 3 * (2 + 2)}
    summed: dict[str, float] = {}
    for name, size in found.line_terms:
        summed[name] = summed.get(name, 0.0) + size
    assert summed == pytest.approx(expected)
    assert found.line_ms == pytest.approx(sum(expected.values()))


@pytest.mark.parametrize(
    ("pair", "grips", "terms"),
    [
        (("G4", "A4"), (), {"travel": 36 * 1.1}),  # L3 alone
        (("G4", "B4"), (), {"travel": 36 * 1.1, "fingers together": 3}),  # L2 and L3 go up as one
        (("E4", "F#4"), (), {"travel": 36 * 1.1, "fingers together": 3, "swap": 20}),  # R1 R2 up, R3 down
        (("D4", "D#4"), (), {"travel": 36 * 1.15}),  # R4 down alone
        (("D#4", "C#4"), (), {"travel": 36 * 1.15, "slide": 120}),  # R4 from Eb to Cs while down
        (("C#4", "C4"), (), {"travel": 36 * 1.15, "slide": 50}),  # over the rollers
        # the thumb slides, it is not lifted over; L2 goes up beside it
        (("A5", "A#5"), ("", "Tb L1 | Eb"), {"travel": 36 * 1.15, "fingers together": 3, "slide": 120}),
        (("B4", "A#4"), ("", "T L1 | Sb Eb"), {"travel": 36, "lever": 16, "sidestep": 10}),  # R1 to Sb
        (("C6", "D6"), ("", "L1 | Kd Eb"), {"travel": 36, "lever": 16}),  # R2 to a trill key
        (("D6", "C6"), ("L1 | Kd Eb", ""), {"travel": 36, "lever": 16}),  # and off it
    ],
)
def test_each_term_of_a_line(pair: tuple[str, str], grips: tuple[str, ...], terms: dict[str, float]) -> None:
    """Every term of a line by a change that shows it; sizes by hand from the tables."""
    found = change(*pair, *grips)
    assert dict(found.line_terms) == pytest.approx(terms)
    assert found.line_ms == pytest.approx(sum(terms.values()))


ALTERNATIONS_BEFORE = {
    ("B4", "C5"): 110.4,
    ("C5", "D5"): 316.8,
    ("E4", "F#4"): 173.184,
    ("F#6", "G#6"): 226.944,
    ("G#6", "A6"): 218.88,
    ("D#4", "C#4"): 270.259,
    ("D#4", "F#4"): 102.72,
    ("A#5", "B5"): 99.84,
    ("E6", "F#6"): 266.112,
    ("B6", "C7"): 278.784,
    ("F4", "A4"): 138.336,
    ("C#5", "D#5"): 177.744,
}
"""`alternating_ms` of standard grips as the code gave it before lines had their own law (git 323aee4~1)."""


@pytest.mark.parametrize("pair", sorted(ALTERNATIONS_BEFORE), ids="-".join)
def test_alternations_are_what_they_were(pair: tuple[str, str]) -> None:
    """The law of lines has left the measured law of alternations as it was."""
    assert change(*pair).alternating_ms == pytest.approx(ALTERNATIONS_BEFORE[pair], abs=0.001)


def test_shares_are_added() -> None:
    """Time over base and slowest finger is one plus the sum of the named shares."""
    for pair in (("E4", "F#4"), ("C5", "D5"), ("F#6", "G#6"), ("G#6", "A6"), ("D#4", "F#4")):
        found = change(*pair)
        expected = (
            FIGURES.base_ms * found.slowest * found.slide * (1 + sum(share for _, share in found.terms))
        )
        assert found.alternating_ms == pytest.approx(expected)


@settings(max_examples=examples(60), deadline=None)
@given(PLAIN_PITCHES, PLAIN_PITCHES, st.data())
def test_a_line_is_quicker_than_an_alternation(first: int, second: int, data: st.DataObject) -> None:
    """To go once is never slower than to come back again and again, and the terms of a line are its time."""
    book = solver_of().book
    a, b = (data.draw(st.sampled_from(book.column(p, True, True))) for p in (first, second))
    found = MODEL.change(a, b)
    assert found.line_ms <= found.alternating_ms
    assert found.line_ms == pytest.approx(sum(size for _, size in found.line_terms))


def test_between_the_two_laws_the_times_are_mixed() -> None:
    """A third of the way to an alternation is a third of the difference."""
    assert in_context(90.0, 30.0, 0.0) == 30.0
    assert in_context(90.0, 30.0, 1.0) == 90.0
    assert in_context(90.0, 30.0, 1 / 3) == pytest.approx(50.0)


def test_a_fresh_finger_needs_its_turning_time() -> None:
    """L3 that moved a note ago needs 0.7 x 96 x 1.1 to turn round; another finger's move costs it nothing."""
    step = MODEL.step(candidate("G4"), candidate("A4"))  # L3 alone: 39.6 ms
    rested, fresh, other = (
        MODEL.change_ms(step, Link(100.0, 0.0, slurred=True, fresh=mask))
        for mask in (0, FINGER_BITS["L3"], FINGER_BITS["R2"])
    )
    assert rested == other == pytest.approx(36 * 1.1)
    assert fresh == pytest.approx(0.7 * 96 * 1.1) == pytest.approx(turning_ms({"L3"}))


def test_the_slowest_fresh_mover_sets_the_turning_time() -> None:
    """Of the fresh fingers only those that move again count, and of them the slowest."""
    step = MODEL.step(candidate("G4"), candidate("B4"))  # L2 and L3
    fresh = FINGER_BITS["L2"] | FINGER_BITS["L3"] | FINGER_BITS["R4"] | FINGER_BITS["L1"]
    assert MODEL.change_ms(step, Link(100.0, 0.0, slurred=True, fresh=fresh)) == pytest.approx(
        turning_ms({"L2", "L3"})
    )


def test_a_change_longer_than_the_turning_is_not_made_longer() -> None:
    """C5-D5 takes longer than any finger's turning: fresh fingers add nothing to it."""
    step = MODEL.step(candidate("C5"), candidate("D5"))
    everything = Link(100.0, 0.0, slurred=True, fresh=sum(FINGER_BITS.values()))
    assert MODEL.change_ms(step, everything) == pytest.approx(step.line_ms)


def test_a_full_alternation_knows_no_fresh_fingers() -> None:
    """There every finger comes back at once: the law of alternations already says so."""
    step = MODEL.step(candidate("G4"), candidate("A4"))
    for fresh in (0, FINGER_BITS["L3"]):
        link = Link(90.0, 1.0, slurred=True, fresh=fresh)
        assert MODEL.change_ms(step, link) == pytest.approx(step.alternating_ms)


def test_side_lever_beats_one_and_one_for_b() -> None:
    """A#-B is quicker by the lever than by R1, which moves three holes (players' forum; common practice)."""
    lever, one = candidate("A#5", "T L1 | Sb Eb"), candidate("A#5", "T L1 | R1 Eb")
    assert ms(lever, candidate("B5", over="Sb"), 1.0) == pytest.approx(96)
    assert ms(one, candidate("B5"), 1.0) == pytest.approx(96 * 1.04)


def test_no_mover_takes_no_time() -> None:
    """E5 and E4 share their grip: no finger moves."""
    found = change("E4", "E5")
    assert (found.movers, found.alternating_ms, found.line_ms, found.line_terms) == ((), 0.0, 0.0, ())
    before, after = candidate("E4"), candidate("E5")
    assert MODEL.times.briefs([before.position], after.position, [0]) == [NO_CHANGE]


def test_the_slide_on_the_foot_is_the_slow_one() -> None:
    """D#4-C#4 (R4 slides) takes longer than D#4-D4 (R4 lifts) by both laws: common practice, no source."""
    for alternation in (0.0, 1.0):
        slide = ms(candidate("D#4"), candidate("C#4"), alternation)
        assert slide > 2.0 * ms(candidate("D#4"), candidate("D4"), alternation)


@settings(max_examples=examples(100), deadline=None)
@given(PLAIN_PITCHES, PLAIN_PITCHES, st.data(), st.floats(0.0, 1.0))
def test_second_formula_agrees(first: int, second: int, data: st.DataObject, alternation: float) -> None:
    """Between any two candidates the time equals the formulas read from the tables' text."""
    book = solver_of().book
    before, after = (data.draw(st.sampled_from(book.column(p, True, True))) for p in (first, second))
    holes = (before.pattern ^ after.pattern).bit_count()
    expected = change_ms(before.position, after.position, holes, alternation)
    assert ms(before, after, alternation) == pytest.approx(expected)


@settings(max_examples=examples(40), deadline=None)
@given(PLAIN_PITCHES, PLAIN_PITCHES, st.data())
def test_there_and_back_move_the_same_fingers(first: int, second: int, data: st.DataObject) -> None:
    """The way back moves the same fingers, up for down, and takes the same time by both laws."""
    book = solver_of().book
    a, b = (data.draw(st.sampled_from(book.column(p, True, True))) for p in (first, second))
    there, back = MODEL.change(a, b), MODEL.change(b, a)
    other_way = {"up": "down", "down": "up"}
    assert [(f, other_way.get(how, how)) for f, how in there.movers] == list(back.movers)
    assert there.alternating_ms == pytest.approx(back.alternating_ms)
    assert there.line_ms == pytest.approx(back.line_ms)
