"""Fingerings of the source as pins."""

from dataclasses import replace

import pytest
from tests.oracles.flutes import grips_of, solver_of
from tests.oracles.passages import played

from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.route.request import Pin, Wishes
from gripway.route.source_pins import read_mark, with_source_pins


def marked(*texts: str) -> Passage:
    """D6 E6, the first with these fingerings in the source."""
    passage = played("D6 E6")
    return replace(passage, notes=(replace(passage.notes[0], fingering=texts), passage.notes[1]))


@pytest.mark.parametrize("text", ["T L2 L3 | Eb", "T 2 3 | Eb", "[T 2 3 | Eb]", "(T 2 3 | Eb)"])
def test_marks_of_ours_are_read(text: str) -> None:
    """Canonical or short, bracketed or not, a mark reads as its grip."""
    assert read_mark(text) == Grip.parse("T L2 L3 | Eb")


def test_right_hand_digits_are_the_right_hands() -> None:
    """Digits after the bar are the right hand's plates."""
    assert read_mark("T 1 2 3 | 1 2 Eb") == Grip.parse("T L1 L2 L3 | R1 R2 Eb")


@pytest.mark.parametrize("text", ["3", "4-5", "T 2 3", "x | y"])
def test_other_fingerings_are_none(text: str) -> None:
    """A finger number or foreign text is no grip, and pins nothing."""
    with pytest.raises(ValueError, match=r".+"):
        read_mark(text)
    assert with_source_pins(marked(text), Wishes()).pins == ()


def test_a_fingering_of_the_source_is_kept() -> None:
    """The route has the grip the source asks for."""
    passage = marked("T 2 3 |")
    assert grips_of(solver_of().solve(passage, with_source_pins(passage, Wishes())))[0] == "T L2 L3 |"


@pytest.mark.parametrize("note", [0, "n1"])
def test_what_is_asked_wins(note: int | str) -> None:
    """A pin of the request, by id or by index, wins over the fingering of the source."""
    passage, asked = marked("T 2 3 |"), Grip.parse("T L2 L3 | Eb")
    wishes = with_source_pins(passage, Wishes(pins=(Pin(note, asked),)))
    assert grips_of(solver_of().solve(passage, wishes))[0] == asked.text
