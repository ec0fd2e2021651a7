"""The order of pairs as the trade teaches it. Where no source is named: common practice, no source."""

from dataclasses import replace

import pytest

import gripway
from gripway.catalog.tables.trill_pairs import pair_figures
from gripway.effort.candidate import Tendency
from gripway.model.grip import Grip
from gripway.trills.pair import Pair, interval_text
from gripway.trills.ranking import is_usable, lean_of, rank_parts
from gripway.trills.trill_list import TrillList, pair_flags

FIGURES = pair_figures()


def listed(low: str, high: str, *parts: str) -> TrillList:
    """The pairs of the concert flute with these parts."""
    return gripway.trill(low, high, gripway.flute("concert-flute", parts))


def place_of(found: TrillList, lower: str, upper: str) -> int:
    """The place of a pair, from 1."""
    grips = [(pair.lower.grip, pair.upper.grip) for pair in found.pairs]
    return grips.index((Grip.parse(lower), Grip.parse(upper))) + 1


@pytest.mark.parametrize(
    ("low", "high", "lower", "upper"),
    [
        # the trill keys and the R1 trill: Cate Hummel, blog on trills, 2016-04-03, opening part
        ("C5", "D5", "L1 | Eb", "L1 | Kd Eb"),
        ("C#5", "D#5", "| Eb", "| Kds Eb"),
        ("C#6", "D#6", "| Eb", "| Kd Kds Eb"),
        ("E4", "F#4", "T L1 L2 L3 | R1 R2 Eb", "T L1 L2 L3 | R2 Eb"),
        ("E5", "F#5", "T L1 L2 L3 | R1 R2 Eb", "T L1 L2 L3 | R2 Eb"),
        ("G4", "A4", "T L1 L2 L3 | Eb", "T L1 L2 | Eb"),
        ("G5", "A5", "T L1 L2 L3 | Eb", "T L1 L2 | Eb"),
        # common practice, no source
        ("G4", "G#4", "T L1 L2 L3 | Eb", "T L1 L2 L3 L4 | Eb"),
        ("A4", "B4", "T L1 L2 | Eb", "T L1 | Eb"),
        ("B5", "C6", "T L1 | Eb", "L1 | Eb"),
        ("C6", "C#6", "L1 | Eb", "| Eb"),
        ("D6", "E6", "T L2 L3 | Eb", "T L2 | Eb"),
    ],
)
def test_the_trill_every_player_knows_comes_first(low: str, high: str, lower: str, upper: str) -> None:
    """One easy finger, in tune enough: nothing stands before it."""
    assert place_of(listed(low, high), lower, upper) == 1


def test_the_plain_c_to_d_trill_of_the_second_octave_is_among_the_first_three() -> None:
    """C6-D6 with the first trill key (Hummel 2016-04-03): printed charts have it, though D6 is flat."""
    assert place_of(listed("C6", "D6"), "L1 | Eb", "L1 | Kd Eb") <= 3


def test_a_pair_in_tune_stands_in_for_taught_ones_that_say_they_are_not() -> None:
    """C6-D6: the printed row of the first key says itself that D is flat and the second comes nearer."""
    best = listed("C6", "D6").pairs[0]
    assert (best.lower.grip.text, best.upper.grip.text) == ("L1 | Eb", "L1 | Kds Eb")
    assert pair_flags(best) == []
    assert best.usable


def test_a_pair_of_low_confidence_waits_where_a_taught_one_says_nothing_against_itself() -> None:
    """G#4-A#4 with L2 alone has fewer points than L2 and L3 (common practice), and stays behind them."""
    first, *others = listed("G#4", "A#4").pairs
    assert first.said is not None
    assert first.said.confidence != "low"
    assert any(pair.points < first.points for pair in others if pair.row is not None)


def test_a_grossly_flat_finger_does_not_stand_above_a_good_pair() -> None:
    """F6-G6 with the thumb alone: G is flat (Herszbaum's note on it); it is listed, flagged, not first."""
    found = listed("F6", "G6")
    thumb = place_of(found, "T L1 L3 | R1 Eb", "L1 L3 | R1 Eb")
    assert thumb > 1
    pair = found.pairs[thumb - 1]
    assert pair.movers == ("LT",)
    assert "upper note flat" in pair_flags(pair)
    assert pair.upper.tendency.cents < -40.0
    assert "narrow" in interval_text(pair)


@pytest.mark.parametrize(
    ("low", "high"), [("F6", "G6"), ("D6", "E6"), ("B5", "C#6"), ("F#5", "A#5"), ("G6", "A6")]
)
def test_printed_pairs_come_before_all_others(low: str, high: str) -> None:
    """However few points another pair has: taught beats what is only possible, the points order each kind."""
    pairs = [pair for pair in listed(low, high).pairs if not pair.lacking]
    first = [pair.row is not None and pair.usable for pair in pairs]
    assert first == sorted(first, reverse=True)
    for some in (True, False):
        sizes = [pair.points for pair, printed in zip(pairs, first, strict=True) if printed is some]
        assert sizes == sorted(sizes)


def test_what_keeps_a_printed_pair_from_coming_first() -> None:
    """No good trill, low confidence, a gross lean that its row tells of; what only a model says is not."""
    pair = next(pair for pair in listed("C5", "D5").pairs if pair.row is not None)
    flat = leaning(pair, 0.0, -FIGURES.gross_cents - 1.0)
    row = replace(pair.row, upper_cents=None)
    cases = [
        (row, pair, True),
        (row, flat, True),
        (replace(row, upper_cents=-50.0), flat, False),
        (replace(row, upper_cents=-50.0), leaning(pair, 0.0, -FIGURES.gross_cents), True),
        (replace(row, flags=frozenset({"no-good-trill"})), pair, False),
        (replace(row, confidence="low"), pair, False),
        (None, pair, False),
    ]
    for printed, of, usable in cases:
        assert is_usable(printed, of.lower, of.upper, FIGURES) is usable


@pytest.mark.whole
def test_a_key_the_flute_lacks_is_named_and_one_it_has_is_used() -> None:
    """G6-G#6 with the C-sharp trill key (makers' pages): last and needing it, or among the first."""
    grips = "L1 L2 L3 | Eb", "L1 L2 L3 | Kcs Eb"
    plain = listed("G6", "G#6")
    assert place_of(plain, *grips) == len(plain.pairs)
    assert "needs c-sharp-trill" in pair_flags(plain.pairs[-1])
    assert place_of(listed("G6", "G#6", "c-sharp-trill"), *grips) <= 2


def test_a_step_without_a_good_trill_says_so() -> None:
    """C#4-D#4 slides R4 between two keys: common practice knows no good trill."""
    found = listed("C#4", "D#4")
    assert any("no good trill" in remark for remark in found.remarks)


def test_a_grip_that_sounds_both_notes_is_told() -> None:
    """A4-A5: the same grip overblown; the lip does it."""
    assert any("sounds both notes" in remark for remark in listed("A4", "A5").remarks)


def points(pair: Pair) -> float:
    """Points of a pair made by hand."""
    return sum(size for _, size in rank_parts(pair, FIGURES, {}))


def leaning(pair: Pair, lower: float, upper: float) -> Pair:
    """The pair with other leans, the same from equal temperament and from the standard grips."""
    tendencies = [Tendency(cents, 5.0, cents, "taught") for cents in (lower, upper)]
    return replace(
        pair,
        lower=replace(pair.lower, tendency=tendencies[0]),
        upper=replace(pair.upper, tendency=tendencies[1]),
    )


def moving(pair: Pair, *movers: tuple[str, str]) -> Pair:
    """The pair with other fingers moving."""
    return replace(pair, change=replace(pair.change, movers=movers))


def test_the_taught_order_of_movers() -> None:
    """Index or middle, another finger, two of a hand together, two hands, a swap, a slide."""
    pair = leaning(listed("C5", "D5").pairs[0], 0.0, 0.0)
    orders = [
        moving(pair, ("R2", "down")),
        moving(pair, ("R3", "down")),
        moving(pair, ("R2", "down"), ("R3", "down")),
        moving(pair, ("L2", "up"), ("R2", "up")),
        moving(pair, ("R2", "down"), ("R3", "up")),
        moving(pair, ("R4", "slide")),
    ]
    sizes = [points(each) for each in orders]
    assert sizes == sorted(set(sizes))


def test_better_a_sharp_upper_note_than_a_flat_one() -> None:
    """Pimentel's rule, taught: if the pitch must be off, the upper note had better be sharp."""
    pair = listed("C5", "D5").pairs[0]
    assert points(leaning(pair, 0.0, 30.0)) < points(leaning(pair, 0.0, -30.0))


def test_two_notes_flat_by_as_much_make_a_true_interval() -> None:
    """The width is judged beside the leans: -30 and -30 is better than -30 and +30."""
    pair = listed("C5", "D5").pairs[0]
    assert points(leaning(pair, -30.0, -30.0)) < points(leaning(pair, -30.0, 30.0))
    assert interval_text(leaning(pair, -30.0, -30.0)) == "whole tone in tune"
    assert interval_text(leaning(pair, 0.0, 20.0)) == "whole tone 20 cents wide"


@pytest.mark.parametrize(
    ("cents", "versus", "lean"),
    [(-20.0, -30.0, -20.0), (20.0, 5.0, 5.0), (5.0, -15.0, 0.0), (12.0, None, 12.0)],
)
def test_a_lean_counts_as_far_as_it_is_one_both_ways(cents: float, versus: float | None, lean: float) -> None:
    """From equal temperament and from the standard grip: the lesser of the two, nothing where they differ."""
    candidate = replace(listed("C5", "D5").pairs[0].upper, tendency=Tendency(cents, 5.0, versus, "taught"))
    assert lean_of(candidate) == pytest.approx(lean)
