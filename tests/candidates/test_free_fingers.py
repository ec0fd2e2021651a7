"""Free fingers: a finger teachers say matters is not free, whatever the model says."""

from itertools import chain

import pytest
from tests.oracles.flutes import number, solver_of

from gripway.candidates.free_fingers import taught_to_matter
from gripway.model.grip import Grip

BOOK = solver_of().book
SURVEY = BOOK.knowledge.survey
RIGHT_HAND = {"R1", "R2", "R3"}


@pytest.mark.parametrize("pitch", ["C5", "C#5", "C6", "C#6"])
def test_right_hand_fingers_taught_to_steady_the_note_are_not_free(pitch: str) -> None:
    """Common practice, no source: right-hand fingers added to C and C sharp steady and lower them.

    The model finds them free; the rows of the tables that teach them say otherwise, so they are
    offered as those rows and not as another way to hold the standard grip.
    """
    row = BOOK.standard_row(number(pitch))
    assert row is not None
    assert SURVEY is not None
    known = SURVEY.free[row.pitch, row.grip]
    kept = BOOK.free_of(row.pitch, row.grip)
    assert any(RIGHT_HAND & set(free.touches) for free in known)
    assert not any(RIGHT_HAND & set(free.touches) for free in kept)
    assert kept
    assert set(kept) < set(known)


def test_only_a_taught_lean_of_the_same_fingers_matters() -> None:
    """The rows are asked one by one: touches of the grip kept, one of the added ones, a lean not 0."""
    rows = list(chain.from_iterable(BOOK.usable(pitch) for pitch in (number("C6"), number("E6"))))
    c6, c6_lowered = Grip.parse("L1 | Eb"), Grip.parse("L1 | R2 R3 Eb")
    assert taught_to_matter(rows, c6, c6_lowered)
    assert taught_to_matter(rows, c6, Grip.parse("L1 | R2 Eb"))
    assert not taught_to_matter(rows, c6, Grip.parse("L1 |"))
    assert not taught_to_matter(rows, c6, Grip.parse("L1 L4 | Eb"))
    assert not taught_to_matter([], c6, c6_lowered)
