"""Placings: each hole pattern by its easiest grip, and how many fingers lie between grips."""

from tests.oracles.finger_states import finger_states

from gripway.asked.found_wishes import NO_WISHES, parse_wishes
from gripway.candidates.finger_placings import easiest, fingers_apart, ways
from gripway.catalog.flute.instruments import load_instrument
from gripway.model.grip import Grip

FLUTE = load_instrument().mechanism


def easiest_text(grip: str, *wishes: str) -> list[str]:
    """The easiest grips with the holes of another one."""
    pattern = FLUTE.hole_pattern(Grip.parse(grip))
    found = easiest(FLUTE, {pattern}, parse_wishes(wishes))
    return [Grip(placing.mask).text for placing in found]


def test_needless_touches_are_left_out() -> None:
    """With L2 down the side lever moves no hole, so the easiest grip has it up."""
    assert easiest_text("T L1 L2 | Sb Eb") == ["T L1 L2 | Eb"]


def test_a_wish_chooses_another_way_to_the_same_holes() -> None:
    """What must be kept is kept, even if the holes do not need it."""
    assert easiest_text("T L1 L2 | Eb", "keep Sb") == ["T L1 L2 | Sb Eb"]
    assert easiest_text("T L1 L2 | Eb", "without T") == ["Tb L1 L2 | Eb"]


def test_no_way_is_no_answer() -> None:
    """Holes that the wishes rule out have no grip."""
    assert easiest_text("T L1 L2 | Eb", "without T Tb") == []
    assert easiest_text("T L1 L2 | Eb", "keep R1") == []


def test_one_finger_from_a_grip() -> None:
    """A slide of one finger is one finger; two lifted fingers are two."""
    assert easiest_text("T L1 L2 | Eb", "one finger from T L1 L2 | C") == ["T L1 L2 | Eb"]
    assert easiest_text("T L1 | Eb", "one finger from T L1 L2 L3 | Eb") == []
    assert easiest_text("T L1 | Eb", "two fingers from T L1 L2 L3 | Eb") == ["T L1 | Eb"]


def test_every_pattern_has_one_easiest_holdable_grip() -> None:
    """3,840 hole patterns (the mechanism's count for a C foot), each once, each held by a hand."""
    patterns = {FLUTE.hole_pattern(grip) for grip in finger_states(FLUTE)}
    found = list(easiest(FLUTE, patterns, NO_WISHES))
    assert len(found) == 3840
    assert {placing.pattern for placing in found} == patterns
    for placing in found:
        assert FLUTE.hole_pattern(Grip(placing.mask)) == placing.pattern
        assert placing.fingers in ways(FLUTE, Grip(placing.mask))


def test_fingers_between_grips() -> None:
    """E4 to F#4 moves three fingers; the nearest way of several counts."""
    (first,) = ways(FLUTE, Grip.parse("T L1 L2 L3 | R1 R2 Eb"))
    assert fingers_apart(first, ways(FLUTE, Grip.parse("T L1 L2 L3 | R3 Eb"))) == 3
    second_choice = ways(FLUTE, Grip.parse("L1 | Kd Eb"))  # Kd by R2, or by R1
    assert len(second_choice) == 2
    assert all(fingers_apart(way, second_choice) == 0 for way in second_choice)
