"""One way to hold the flute: canonical text, sets of touches."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gripway.model.grip import LEFT_TOUCHES, RIGHT_TOUCHES, TOUCHES, Grip

TOUCH_SETS = st.sets(st.sampled_from(TOUCHES))
GRIPS = st.builds(Grip.of, TOUCH_SETS)


@given(GRIPS)
def test_a_printed_grip_reads_back_as_itself(grip: Grip) -> None:
    """Parsing undoes printing."""
    assert Grip.parse(grip.text) == grip
    assert Grip.of(grip.touches) == grip


@given(TOUCH_SETS.flatmap(lambda touches: st.permutations(sorted(touches))), st.data())
def test_order_case_and_bar_do_not_matter(touches: list[str], data: st.DataObject) -> None:
    """Any order, any letter case, with commas, plus signs or bars between: the same grip."""
    words = [data.draw(st.sampled_from([touch, touch.lower(), touch.upper()])) for touch in touches]
    between = data.draw(st.sampled_from([" ", ",", " + ", " | ", "\t"]))
    assert Grip.parse(between.join(words)) == Grip.of(touches)


@given(GRIPS)
def test_the_text_names_left_hand_bar_right_hand(grip: Grip) -> None:
    """Left-hand touches stand before the one bar, right-hand touches after it, in table order."""
    left, right = grip.text.split("|")
    assert left.split() == [touch for touch in LEFT_TOUCHES if grip.has(touch)]
    assert right.split() == [touch for touch in RIGHT_TOUCHES if grip.has(touch)]


@given(GRIPS)
def test_the_short_text_keeps_every_word_but_the_hand_letters(grip: Grip) -> None:
    """Putting the hand letters back before the digits gives the canonical text."""
    left, right = grip.short.split("|")
    words = [f"L{word}" if word.isdigit() else word for word in left.split()]
    words += [f"R{word}" if word.isdigit() else word for word in right.split()]
    assert Grip.parse(" ".join(words)) == grip


@pytest.mark.parametrize(
    ("typed", "canonical", "short"),
    [
        ("eb l3 t L2", "T L2 L3 | Eb", "T 2 3 | Eb"),  # D6, common practice, no source
        ("Eb", "| Eb", "| Eb"),  # open C#5, common practice, no source
        ("kds L1 L3 T", "T L1 L3 | Kds", "T 1 3 | Kds"),  # B6, common practice, no source
        ("", "|", "|"),
    ],
)
def test_known_grips_print_in_the_trade_order(typed: str, canonical: str, short: str) -> None:
    """A grip is written left hand, bar, right hand, thumb first."""
    assert Grip.parse(typed).text == canonical
    assert Grip.parse(typed).short == short


@given(GRIPS, TOUCH_SETS)
def test_pressing_and_releasing_are_set_operations(grip: Grip, touches: set[str]) -> None:
    """Touches added are there, touches taken away are not, the others stay as they were."""
    before = set(grip.touches)
    assert set(grip.with_touches(*touches).touches) == before | touches
    assert set(grip.without(*touches).touches) == before - touches


@pytest.mark.parametrize("text", ["T L5", "T 2 3", "D#", "T L2 L3 / Eb"])
def test_an_unknown_touch_is_refused_by_name(text: str) -> None:
    """The message names the word that is no touch and lists those there are."""
    with pytest.raises(ValueError, match=r"is not a touch; the touches are T Tb L1"):
        Grip.parse(text)
