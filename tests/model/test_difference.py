"""Grips as differences: what is written is read again, in one line and stacked; nothing else is one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gripway.model.difference import (
    Difference,
    is_short_sign_over_staff,
    one_hand_over_the_other,
    read_difference,
    stacked,
)
from gripway.model.grip import TOUCHES, Grip
from gripway.model.mark_text import GRIP, Hand, MarkSign, read_sign

touches = st.sets(st.sampled_from(TOUCHES), max_size=5).map(Grip.of)
some = st.sets(st.sampled_from(TOUCHES), min_size=1, max_size=5).map(Grip.of)
differences = st.one_of(
    st.builds(Difference, instead=some, moving=touches),
    st.builds(Difference, more=some, less=touches, moving=touches),
    st.builds(Difference, less=some, moving=touches),
    st.builds(Difference, moving=some),
).filter(lambda each: each.text not in ("T", "Tb"))


@given(differences, st.sampled_from(["{}", "[{}]", "({})"]))
def test_what_is_written_is_read_again(difference: Difference, bracket: str) -> None:
    """In one line and stacked, in any bracket."""
    assert read_difference(bracket.format(difference.text)) == difference
    assert read_difference(bracket.format(stacked(difference.text))) == difference


@given(some, touches)
def test_hands_one_over_the_other_are_read_again(grip: Grip, moving: Grip) -> None:
    """A grip written out on two lines is the same grip, with what trills."""
    sign = MarkSign(GRIP, grip, moving)
    assert (
        read_sign(one_hand_over_the_other(Hand(letters=True, separator="/", bracket="round"), sign)) == sign
    )


def test_no_line_is_wider_than_a_hand_and_its_sign() -> None:
    """R2 stands as R over 2, and what is narrow is why it is stacked."""
    assert stacked("+R23 -Eb tr Kd").splitlines() == ["+R", "2", "3", "-Eb", "tr", "Kd"]


@pytest.mark.parametrize(
    "text", ["", "T", "Tb", "2", "R5", "R2 please", "dolce", "tr", "tr x", "R2 -Eb", "sim."]
)
def test_what_is_no_difference(text: str) -> None:
    """Signs of their own, finger numbers and words; a sign behind a touch that has none."""
    assert read_difference(text) is None


@pytest.mark.parametrize(
    ("text", "is_sign"), [("R2", True), ("+Eb", True), ("tr Kd", True), ("B", False), ("Eb", False)]
)
def test_letters_over_a_staff_may_be_anything(text: str, is_sign: bool) -> None:
    """A key's name alone is as well a rehearsal letter."""
    assert is_short_sign_over_staff(text) is is_sign
