"""One hand's moves: which fingers, how, and the shares they add."""

import pytest
from tests.oracles.flutes import FIGURES, TABLES

from gripway.effort.hand import HAND_FINGERS, HandMove, hand_move

WEIGHTS = dict(TABLES.finger_weight)


def left(before: dict[str, str], after: dict[str, str]) -> HandMove:
    """The left hand's move between two sets of places, every other finger up at home."""
    return move("left", before, after)


def right(before: dict[str, str], after: dict[str, str]) -> HandMove:
    """The right hand's move between two sets of places."""
    return move("right", before, after)


def move(hand: str, before: dict[str, str], after: dict[str, str]) -> HandMove:
    """A hand's move between two sets of places by finger."""
    fingers = HAND_FINGERS[hand]
    places = [tuple(side.get(finger, "") for finger in fingers) for side in (before, after)]
    return hand_move(places[0], places[1], fingers, FIGURES, WEIGHTS)


def test_a_hand_that_stays_moves_nothing() -> None:
    """The same places give no movers, no shares and no weight."""
    still = left({"LT": "T", "L1": "L1"}, {"LT": "T", "L1": "L1"})
    assert still.movers == ()
    assert (still.slowest, still.addends, still.line_ms, still.slide) == (0.0, 0.0, 0.0, 1.0)


def test_the_slowest_mover_counts() -> None:
    """L1 (1.20) and L2 (1.05) together weigh as L1: the regression's finger weights."""
    assert left({}, {"L1": "L1", "L2": "L2"}).slowest == 1.20


@pytest.mark.parametrize("hand", ["left", "right"])
def test_a_swap_counts_in_its_own_hand(hand: str) -> None:
    """One finger up while another of the hand goes down adds the swap, 0.45 (c3)."""
    index, ring = ("L1", "L3") if hand == "left" else ("R1", "R3")
    swap = move(hand, {index: index}, {ring: ring})
    assert dict(swap.terms) == {"swap": 0.45}


def test_fingers_going_the_same_way_are_no_swap() -> None:
    """Two fingers lifted together add nothing in their hand."""
    assert right({"R1": "R1", "R2": "R2"}, {}).terms == ()


@pytest.mark.parametrize(("ring", "little"), [("L3", "L4"), ("R3", "R4")])
def test_ring_against_little_is_the_worst_swap(ring: str, little: str) -> None:
    """Ring and little finger in opposite directions cost more than other swaps (c9: direction)."""
    hand = "left" if ring[0] == "L" else "right"
    touch = "L4" if little == "L4" else "Eb"
    there = move(hand, {ring: ring}, {little: touch})
    back = move(hand, {little: touch}, {ring: ring})
    assert there.addends == back.addends == FIGURES.swap_ring_little_share
    assert FIGURES.swap_share < FIGURES.swap_middle_ring_share < FIGURES.swap_ring_little_share
    assert FIGURES.swap_ring_little_share <= 0.76  # the measured range of a swap: 0.29 to 0.76


@pytest.mark.parametrize(("middle", "ring"), [("L2", "L3"), ("R2", "R3")])
def test_middle_against_ring_lies_between(middle: str, ring: str) -> None:
    """Middle and ring finger in opposite directions cost a little more than a plain swap."""
    hand = "left" if ring[0] == "L" else "right"
    assert move(hand, {middle: middle}, {ring: ring}).addends == FIGURES.swap_middle_ring_share


def test_ring_and_little_are_charged_once() -> None:
    """A swap with ring against little among its pairs is one share, not two added."""
    swap = left({"L3": "L3", "L2": "L2"}, {"L4": "L4"})
    assert [name for name, _ in swap.terms] == ["swap"]
    assert swap.addends == FIGURES.swap_ring_little_share


def test_the_little_finger_slides_between_foot_keys() -> None:
    """R4 from Eb to C slides at 2.4 (c6), over the rollers C and B at 1.8."""
    slide = right({"R4": "Eb"}, {"R4": "C"})
    assert slide.movers == (("R4", "slide"),)
    assert slide.slide == 2.4
    assert right({"R4": "C"}, {"R4": "Cs"}).slide == 1.8
    assert right({"R4": "C B"}, {"R4": "C"}).slide == 1.8
    assert right({"R4": "Eb"}, {"R4": "C B"}).slide == 2.4


def test_the_thumb_slides_between_its_keys() -> None:
    """T to Tb while down is a thumb slide at 2.5 (c7)."""
    slide = left({"LT": "T"}, {"LT": "Tb"})
    assert (slide.slide, slide.thumb_slide) == (2.5, True)


def test_a_lifted_thumb_does_not_slide() -> None:
    """T up, then Tb down, is no slide in either change."""
    for before, after in (("T", "-Tb"), ("-T", "Tb"), ("T", "-T")):
        moved = left({"LT": before}, {"LT": after})
        assert (moved.slide, moved.thumb_slide) == (1.0, False)


def test_a_thumb_that_goes_aside_pays_once() -> None:
    """Lifting from T and resting over Tb adds a sidestep; lifting to rest over T adds none."""
    assert dict(left({"LT": "T"}, {"LT": "-Tb"}).terms) == {"sidestep": FIGURES.sidestep_share}
    assert dict(left({"LT": "-T"}, {"LT": "Tb"}).terms) == {"sidestep": FIGURES.sidestep_share}
    assert left({"LT": "T"}, {"LT": "-T"}).terms == ()
    assert left({"LT": "-Tb"}, {"LT": "Tb"}).terms == ()


def test_index_between_plate_and_lever_is_lifted_across() -> None:
    """R1 between plate and side lever is a lift with a sidestep, no slide; a line counts the lever too."""
    across = right({"R1": "R1"}, {"R1": "Sb"})
    assert across.movers == (("R1", "across"),)
    assert across.slide == 1.0
    assert dict(across.terms) == {"sidestep": FIGURES.sidestep_share}
    assert dict(across.line_terms) == {"lever": FIGURES.line_lever_ms, "sidestep": FIGURES.line_sidestep_ms}


@pytest.mark.parametrize(("finger", "touch"), [("R1", "Sb"), ("R2", "Kd"), ("R3", "Kds"), ("R4", "Hc")])
def test_levers_are_reached_for_and_left(finger: str, touch: str) -> None:
    """Side lever, trill keys and facilitator cost a line the same time on the way there and back."""
    assert dict(right({}, {finger: touch}).line_terms)["lever"] == FIGURES.line_lever_ms
    assert dict(right({finger: touch}, {}).line_terms)["lever"] == FIGURES.line_lever_ms


def test_a_finger_over_its_lever_reaches_nothing() -> None:
    """R1 that rests over the side lever pays neither lever nor sidestep, nor does it when it rises there."""
    for pressed in (right({"R1": "-Sb"}, {"R1": "Sb"}), right({"R1": "Sb"}, {"R1": "-Sb"})):
        assert (pressed.line_ms, pressed.terms) == (0.0, ())


def test_fingers_of_a_hand_that_go_one_way_go_nearly_as_one() -> None:
    """Three fingers down are two more than one; two up and one down are one more, and a swap."""
    together, swap = FIGURES.line_together_ms, FIGURES.line_swap_ms
    assert right({}, {"R1": "R1", "R2": "R2", "R3": "R3"}).line_ms == 2 * together
    parted = right({"R1": "R1", "R2": "R2"}, {"R3": "R3"})
    assert dict(parted.line_terms) == {"fingers together": together, "swap": swap}


@pytest.mark.parametrize(("ring", "little"), [("L3", "L4"), ("R3", "R4")])
def test_ring_against_little_is_the_worst_swap_of_a_line(ring: str, little: str) -> None:
    """Ring and little finger that part cost a line more than other fingers of the hand that do."""
    hand = "left" if ring[0] == "L" else "right"
    touch = "L4" if little == "L4" else "Eb"
    assert move(hand, {ring: ring}, {little: touch}).line_ms == FIGURES.line_swap_weak_ms
    assert move(hand, {ring[0] + "1": ring[0] + "1"}, {ring: ring}).line_ms == FIGURES.line_swap_ms
    assert FIGURES.line_swap_ms < FIGURES.line_swap_weak_ms


def test_slides_of_a_line() -> None:
    """The thumb between its keys and R4 from the E-flat key slide slowest, over rollers R4 is quicker."""
    thumb, foot = left({"LT": "T"}, {"LT": "Tb"}), right({"R4": "Eb"}, {"R4": "C"})
    roller = right({"R4": "C"}, {"R4": "Cs"})
    assert [m.line_ms for m in (thumb, foot, roller)] == [
        FIGURES.line_slide_thumb_ms,
        FIGURES.line_slide_ms,
        FIGURES.line_slide_roller_ms,
    ]
    assert thumb.line_ms >= foot.line_ms > roller.line_ms


def test_ring_beside_a_sliding_little_finger_is_coupled() -> None:
    """R3 that moves while R4 slides adds the coupling; R2 does not."""
    assert dict(right({"R4": "Eb"}, {"R3": "R3", "R4": "C"}).terms) == {"coupling": FIGURES.coupling_share}
    assert right({"R4": "Eb"}, {"R2": "R2", "R4": "C"}).terms == ()


def test_plate_to_trill_key_is_a_slide() -> None:
    """R2 from its plate to Kd while down slides at 2.4, as R3 to Kds (c6)."""
    assert right({"R2": "R2"}, {"R2": "Kd"}).slide == 2.4
    assert right({"R3": "R3"}, {"R3": "Kds"}).slide == 2.4
