"""Whatever a house writes as a mark is read again as what was meant; nothing else is."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.every import every

from gripway.model.grip import TOUCHES, Grip
from gripway.model.mark_text import (
    BRACKETS,
    GRIP,
    HOLD,
    HOLD_WORDS,
    RELEASE,
    RELEASE_WORDS,
    SEPARATORS,
    SIMILE,
    SIMILE_WORDS,
    THUMB,
    Hand,
    MarkSign,
    is_sign_over_staff,
    read_sign,
)

GRIPS = st.sets(st.sampled_from(TOUCHES)).map(Grip.of)
SIGNS = st.one_of(
    st.builds(MarkSign, st.just(GRIP), GRIPS),
    st.builds(
        MarkSign, st.sampled_from((HOLD, RELEASE)), st.sets(st.sampled_from(TOUCHES), min_size=1).map(Grip.of)
    ),
    st.sampled_from((MarkSign(SIMILE), MarkSign(THUMB, Grip.of(["T"])), MarkSign(THUMB, Grip.of(["Tb"])))),
)
HANDS = st.builds(
    Hand,
    st.booleans(),
    st.sampled_from(SEPARATORS),
    st.sampled_from(sorted(BRACKETS)),
    st.sampled_from(HOLD_WORDS),
    st.sampled_from(RELEASE_WORDS),
    st.sampled_from(SIMILE_WORDS),
)


@given(SIGNS, HANDS, st.booleans())
def test_every_hand_can_be_read(sign: MarkSign, hand: Hand, as_words: bool) -> None:
    """Any sign in any house's hand, over the staff or at the note, is that sign again."""
    assert read_sign(hand.written(sign, as_words=as_words)) == sign


@given(SIGNS, HANDS)
def test_words_over_the_staff_are_known_as_ours(sign: MarkSign, hand: Hand) -> None:
    """What is written as words is told from other words over the staff."""
    assert is_sign_over_staff(hand.written(sign, as_words=True))


@every(
    [
        ("T 1 3 | 2 Eb", GRIP, "T L1 L3 | R2 Eb"),
        ("T13|2Eb", GRIP, "T L1 L3 | R2 Eb"),
        ("[T13|123C\u266f]", GRIP, "T L1 L3 | R1 R2 R3 Cs"),
        ("T L1L3 | R2 E\u266d", GRIP, "T L1 L3 | R2 Eb"),
        ("Th 1 2 3 | 1 2 3 C\u266f", GRIP, "T L1 L2 L3 | R1 R2 R3 Cs"),
        ("Th", THUMB, "T"),
        ("T\u266d", THUMB, "Tb"),
        ("[T L1 L3 / R2 Eb]", GRIP, "T L1 L3 | R2 Eb"),
        ("/ Kd Eb", GRIP, "| Kd Eb"),
        ("(Tb)", THUMB, "Tb |"),
        ("T", THUMB, "T |"),
        ("hold 2 3", HOLD, "| R2 R3"),
        ("Keep R2 L4", HOLD, "L4 | R2"),
        ("liegen lassen 2", HOLD, "| R2"),
        ("release Eb", RELEASE, "| Eb"),
    ]
)
def test_marks_as_an_editor_writes_them(text: str, kind: str, grip: str) -> None:
    """Bare numbers after a word are the right hand's; brackets and capitals do not matter."""
    assert read_sign(text) == MarkSign(kind, Grip.parse(grip))


@pytest.mark.parametrize(
    "text",
    ["2", "1-3", "2/3", "t", "tb", "", "hold", "hold me", "holding 2", "dolce", "a / b", "5 | Eb", "grips"],
)
def test_what_is_no_sign(text: str) -> None:
    """Finger numbers, strokes without blanks, words of another meaning."""
    with pytest.raises(ValueError, match=r"touch|bar"):
        read_sign(text)


@pytest.mark.parametrize("text", ["sim.", "simile", "[simile]", "dolce", "3"])
def test_a_simile_over_the_staff_is_somebody_elses(text: str) -> None:
    """It may speak of the bowing or the pedal; ours says of what."""
    assert not is_sign_over_staff(text)
