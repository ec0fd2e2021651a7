"""Unsafe ways: grips passed through, the share that sounds neither note, the best order of fingers.

The count 2^n - 2 and the words safe and unsafe are those of Almeida, Chow, Smith and Wolfe, JASA
126 (2009) 1674 (abstract). Orders are checked against trying out every permutation.
"""

from itertools import pairwise, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.acoustics.measured_flute import FLUTE, KNOWN, number, places, standard_grips
from tests.tiers import examples

from gripway.acoustics.touch_holes import touch_holes
from gripway.acoustics.unsafe_ways import MOST_MOVERS, WORST, Crossing, Crossings
from gripway.effort.position import is_down
from gripway.model.grip import Grip
from gripway.model.mechanism import FINGERS

HOLES = touch_holes(FLUTE.mechanism)
CROSSINGS = Crossings(HOLES, KNOWN)
STANDARD = standard_grips()
CLAIMED = st.sampled_from([note for note in sorted(STANDARD) if note <= number("C#7")])


def crossing(first: str, second: str) -> Crossing:
    """The crossing between two standard grips given by their pitches."""
    a, b = number(first), number(second)
    return CROSSINGS.crossing(places(STANDARD[a].text), places(STANDARD[b].text), a, b)


def brute_unsafe(a: tuple[str, ...], b: tuple[str, ...], there: set[str], wanted: tuple[int, int]) -> bool:
    """Whether the grip with some fingers there is unsafe, by way of touches and the mechanism itself."""
    touches: list[str] = []
    for finger, x, y in zip(FINGERS, a, b, strict=True):
        place = y if finger in there else x
        touches += place.split() if is_down(place) else []
    holes = FLUTE.mechanism.hole_pattern(Grip.of(touches))
    ends = {FLUTE.mechanism.hole_pattern(Grip.of(" ".join(filter(is_down, p)).split())) for p in (a, b)}
    return holes not in ends and not any(KNOWN.near.get(holes, 0) >> note & 1 for note in wanted)


def test_one_mover_passes_nothing() -> None:
    """B4-C5 lifts the thumb alone: no grip on the way, no finger to lead."""
    found = crossing("B4", "C5")
    assert (found.movers, found.passed, found.share, found.lead, found.way) == (("LT",), 0, 0.0, "", ())


def test_no_mover_is_safe() -> None:
    """E4-E5 moves no finger."""
    found = crossing("E4", "E5")
    assert (found.movers, found.passed, found.share, found.order) == ((), 0, 0.0, ())


def test_the_grips_on_the_way_are_two_to_the_n_less_two() -> None:
    """E4-F#4 moves three fingers: six grips on the way."""
    assert crossing("E4", "F#4").passed == 2**3 - 2


def test_f_to_f_sharp_lets_r3_lead() -> None:
    """F4-F#4 swaps R1 for R3: both up is G4, both down still F4, so R3 leads (holes of the mechanism)."""
    found = crossing("F4", "F#4")
    assert found.lead == "R3"
    assert found.order == ("R3", "R1")
    assert [(step.finger, step.sounds, step.safe) for step in found.way] == [("R3", number("F4"), True)]
    assert found.strays == (number("G4"),)
    assert found.share == 0.5


def test_b_to_c_sharp_lets_l1_lead() -> None:
    """B4-C#5 lifts thumb and L1: the thumb alone is C5, L1 alone opens the hole of C#5."""
    found = crossing("B4", "C#5")
    assert (found.lead, found.strays) == ("L1", (number("C5"),))


def test_where_any_finger_may_lead_none_is_named() -> None:
    """E6-F6 passes nothing but E6 and F6, whatever the order: no finger is told to lead."""
    found = crossing("E6", "F6")
    assert (found.share, found.lead, found.strays) == (0.0, "", ())
    assert set(found.leads) == set(found.movers)


def test_too_many_movers_count_as_the_worst() -> None:
    """C5-D5 moves eight fingers; with room for seven nothing is counted, and it says so."""
    a, b = number("C5"), number("D5")
    few = Crossings(HOLES, KNOWN, most_movers=7)
    ends = places(STANDARD[a].text), places(STANDARD[b].text)
    found = few.crossing(*ends, a, b)
    assert len(found.movers) == 8
    assert (found.counted, found.share, found.order, found.lead) == (False, WORST, (), "")
    assert few.share(*ends, a, b) == WORST


def test_every_change_of_two_hands_is_counted() -> None:
    """Nine fingers are all there are, so none are too many; C5-D5 passes 254 grips, some of them safe."""
    assert len(FINGERS) == MOST_MOVERS
    found = crossing("C5", "D5")
    assert (found.counted, found.passed, len(found.order)) == (True, 254, 8)
    assert 0.0 < found.share < WORST


def test_a_slide_is_one_mover() -> None:
    """C#4-D#4 slides R4 from Cs to Eb: one mover, nothing on the way."""
    found = crossing("C#4", "D#4")
    assert (found.movers, found.passed) == (("R4",), 0)


def test_a_lifted_finger_that_rests_elsewhere_does_not_move() -> None:
    """The thumb waiting over Tb or over T presses nothing either way."""
    a = places("L1 | Eb")
    assert a[0] == "-T"
    assert CROSSINGS.crossing(a, ("-Tb", *a[1:]), 72, 73).movers == ()


@pytest.mark.parametrize("pair", [("E4", "F#4"), ("G#4", "A#4"), ("D6", "E6"), ("F#6", "G#6"), ("D6", "D#6")])
def test_the_order_is_the_best_of_all_permutations(pair: tuple[str, str]) -> None:
    """No order of the fingers passes fewer unsafe grips, and the leads are those of all best orders."""
    a, b = number(pair[0]), number(pair[1])
    before, after = places(STANDARD[a].text), places(STANDARD[b].text)
    found = CROSSINGS.crossing(before, after, a, b)
    costs = {
        order: sum(brute_unsafe(before, after, set(order[:k]), (a, b)) for k in range(1, len(order)))
        for order in permutations(found.movers)
    }
    least = min(costs.values())
    best = sorted((order for order in costs if costs[order] == least), key=lambda o: [*map(FINGERS.index, o)])
    assert found.order == best[0]
    assert set(found.leads) == {order[0] for order in best}
    assert sum(not step.safe for step in found.way) == least


@settings(max_examples=examples(150), deadline=None)
@given(CLAIMED, CLAIMED)
def test_share_is_a_share_there_and_back(a: int, b: int) -> None:
    """Between 0 and 1, the same in both directions, and the same when asked again or told in full."""
    before, after = places(STANDARD[a].text), places(STANDARD[b].text)
    fresh = Crossings(HOLES, KNOWN)
    share = fresh.share(before, after, a, b)
    assert 0.0 <= share <= 1.0
    assert share == fresh.share(after, before, b, a) == Crossings(HOLES, KNOWN).share(after, before, b, a)
    assert share == fresh.share(before, after, a, b) == fresh.crossing(before, after, a, b).share


@settings(max_examples=examples(60), deadline=None)
@given(CLAIMED, CLAIMED)
def test_the_way_goes_from_grip_to_grip(a: int, b: int) -> None:
    """One finger more is there at each step, and the grips differ by what it presses."""
    before, after = places(STANDARD[a].text), places(STANDARD[b].text)
    found = CROSSINGS.crossing(before, after, a, b)
    if not found.counted or not found.movers:
        return
    assert sorted(found.order, key=FINGERS.index) == list(found.movers)
    masks = [STANDARD[a].mask, *(step.mask for step in found.way), STANDARD[b].mask]
    assert tuple(step.finger for step in found.way) == found.order[:-1]
    for finger, (x, y) in zip(found.order, pairwise(masks), strict=True):
        place = FINGERS.index(finger)
        pressed = [Grip.of(p.split()).mask if is_down(p) else 0 for p in (before[place], after[place])]
        assert x ^ y == pressed[0] ^ pressed[1]


@settings(max_examples=examples(60), deadline=None)
@given(CLAIMED, CLAIMED)
def test_the_share_agrees_with_a_count_by_hand(a: int, b: int) -> None:
    """Going through every set of fingers with the mechanism itself gives the same share."""
    before, after = places(STANDARD[a].text), places(STANDARD[b].text)
    found = CROSSINGS.crossing(before, after, a, b)
    movers = found.movers
    if not 2 <= len(movers) <= MOST_MOVERS:
        return
    sets = [
        {movers[k] for k in range(len(movers)) if bits >> k & 1} for bits in range(1, 2 ** len(movers) - 1)
    ]
    unsafe = sum(brute_unsafe(before, after, there, (a, b)) for there in sets)
    assert found.share == pytest.approx(unsafe / len(sets))
