"""A grip in words: hands and fingers as teachers count them (common practice, no source)."""

import pytest
from tests.page.drawn import flute_of

from gripway.model.grip import Grip
from gripway.page.diagram.diagram import alt_text
from gripway.page.diagram.words import listed

FLUTE = flute_of("all parts")


@pytest.mark.parametrize(
    ("grip", "told"),
    [
        # Left hand first, the index is the first finger (common practice, no source).
        ("T 2 3 | Eb", "Left hand thumb, second and third finger; right hand E-flat key."),
        ("|", "Left hand lifted; right hand lifted."),
        ("| Eb", "Left hand lifted; right hand E-flat key."),
        ("Tb 1 | Eb", "Left hand thumb B-flat lever and first finger; right hand E-flat key."),
        (
            "T 1 2 3 4 | 1 2 3 C B",
            "Left hand thumb, first, second, third finger and G-sharp lever; "
            "right hand first, second, third finger, low C roller and low B roller.",
        ),
        ("T | 1 Kd Eb", "Left hand thumb; right hand first finger, D trill key and E-flat key."),
        (
            "T 1 | Sb Kds Kcs Hc Cs",
            "Left hand thumb and first finger; right hand side B-flat lever, D-sharp trill key, "
            "C-sharp trill key, low C-sharp key and high-C facilitator.",
        ),
    ],
)
def test_a_grip_is_told_hand_by_hand(grip: str, told: str) -> None:
    """The left hand first, each from its thumb on."""
    assert alt_text(FLUTE, Grip.parse(grip)) == told


def test_all_signs_are_told() -> None:
    """Title, held and free fingers, the trill, and what has moved since the grip before."""
    told = alt_text(
        FLUTE,
        Grip.parse("T 1 3 | 2 3 Eb"),
        held=["R3"],
        free=["L4"],
        movers=["T", "Kd"],
        before=Grip.parse("T 1 2 | 1 Eb"),
        title="F#6",
    )
    assert told == (
        "F#6: left hand thumb, first and third finger; right hand second, third finger and E-flat key. "
        "Held though the note does not need it: right third finger. "
        "Free to go down: left G-sharp lever. "
        "The trill moves left thumb, right D trill key. "
        "Against the grip before, goes down: left third finger, right second and third finger; "
        "goes up: left second finger, right first finger."
    )


def test_no_change_is_told() -> None:
    """The same grip again: nothing moves."""
    assert alt_text(FLUTE, Grip(0), before=Grip(0)).endswith("Against the grip before, nothing moves.")


def test_a_list_of_one_and_of_none() -> None:
    """One name stands alone; no name gives no text."""
    assert listed(["thumb"]) == "thumb"
    assert listed([]) == ""
