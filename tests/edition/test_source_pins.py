"""Fingerings of the source as pins: ours are read in every form, others left alone."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gripway.asked.wishes import Pin, Wishes
from gripway.edition.printed_pins import read_mark, source_grips, with_source_pins
from gripway.model.grip import TOUCHES, Grip
from gripway.model.passage import Passage
from gripway.tasks.flutes import flute
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes

GRIPS = st.sets(st.sampled_from(TOUCHES)).map(Grip.of)


@given(GRIPS, st.sampled_from(["{}", "[{}]", "({})", " {} "]))
def test_what_we_print_we_read_again(grip: Grip, frame: str) -> None:
    """Canonical or short, bracketed or not: the same grip."""
    assert read_mark(frame.format(grip.text)) == grip
    assert read_mark(frame.format(grip.short)) == grip


@pytest.mark.parametrize("text", ["", "2", "1-3", "T L1", "thumb | Eb", "5 | Eb", "T 1 ² | Eb", "a|b|c"])
def test_other_fingerings_are_no_grips(text: str) -> None:
    """A finger number or a word raises ValueError: it is somebody else's."""
    with pytest.raises(ValueError, match=r"touch|bar"):
        read_mark(text)


def passage(*fingerings: tuple[str, ...]) -> Passage:
    """F#6 as often as there are fingerings, each with its own."""
    read = notes(" ".join(["F#6"] * len(fingerings)))
    each = zip(read.notes, fingerings, strict=True)
    return replace(read, notes=tuple(replace(note, fingering=own) for note, own in each))


def test_grips_of_the_source_become_pins() -> None:
    """Only those that read as grips; each by the id of its note."""
    found = with_source_pins(passage(("T 1 3 | 2 Eb",), ("2",), (), ("3", "[T 1 | Eb]")), Wishes())
    assert found.pins == (Pin("n1", Grip.parse("T L1 L3 | R2 Eb")), Pin("n4", Grip.parse("T L1 | Eb")))


def test_a_pin_asked_for_wins_over_the_source() -> None:
    """By the note's id or by its index."""
    read = passage(("T 1 3 | 2 Eb",))
    for note in ("n1", 0):
        asked = Wishes(pins=(Pin(note, Grip.parse("T L1 | Eb")),))
        assert with_source_pins(read, asked).pins == asked.pins


def test_the_route_keeps_the_source_grips() -> None:
    """The whole way: what stands in the source is what is played."""
    read = passage(("T 1 3 | 2 Eb",), ("T 1 | Eb",))
    route = finger(read, flute(), with_source_pins(read, Wishes()))
    assert [note.candidate and note.candidate.grip.short for note in route.notes] == [
        "T 1 3 | 2 Eb",
        "T 1 | Eb",
    ]


def test_the_notes_of_a_source_give_their_grips() -> None:
    """None, one or several."""
    first, second = passage((), ("T 1 | Eb", "T 1 3 | 2 Eb")).notes
    assert list(source_grips(first)) == []
    assert [grip.short for grip in source_grips(second)] == ["T 1 | Eb", "T 1 3 | 2 Eb"]
