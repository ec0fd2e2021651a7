"""Passages: ornaments check themselves, notes are values."""

from fractions import Fraction

import pytest

from gripway.model.passage import DYNAMICS, ORNAMENT_KINDS, Note, Ornament, Passage
from gripway.model.pitch import Pitch


def a_note(**changes: object) -> Note:
    """A quarter note D6 in bar 1, with some fields changed."""
    fields: dict[str, object] = {
        "id": "P1-n1",
        "bar": "1",
        "pitch": Pitch.parse("D6"),
        "onset": Fraction(0),
        "length": Fraction(1, 4),
        "onset_ms": 0.0,
        "length_ms": 500.0,
    }
    return Note(**(fields | changes))  # type: ignore[arg-type]


@pytest.mark.parametrize("kind", ORNAMENT_KINDS)
def test_every_kind_of_ornament_can_be_made(kind: str) -> None:
    """Each ornament kind is accepted, with no auxiliary pitches unless given."""
    assert Ornament(kind) == Ornament(kind, upper=None, lower=None)


@pytest.mark.parametrize("kind", ["", "Trill", "shake", "turn "])
def test_an_unknown_ornament_is_refused(kind: str) -> None:
    """An ornament of no known kind cannot be made, and the message repeats the word."""
    with pytest.raises(ValueError, match=f"no such ornament: {kind!r}"):
        Ornament(kind)


def test_equal_notes_are_one_value() -> None:
    """Notes with equal fields are equal and hash alike, so passages can be keys."""
    passage = Passage((a_note(),))
    assert passage == Passage((a_note(),))
    assert hash(passage) == hash(Passage((a_note(),)))
    assert a_note() != a_note(bar="2")


@pytest.mark.parametrize("field", ["bar", "pitch", "length_ms"])
def test_a_note_cannot_be_changed(field: str) -> None:
    """Notes are frozen: setting a field fails."""
    with pytest.raises(AttributeError):
        setattr(a_note(), field, None)


def test_a_plain_note_is_mezzo_forte_and_detached() -> None:
    """A note nothing is said about is mf, not slurred, no grace note, first time through."""
    note = a_note()
    assert note.dynamic in DYNAMICS
    assert (note.dynamic, note.slurred, note.grace, note.time_through) == ("mf", False, False, 1)


def test_dynamics_run_from_soft_to_loud() -> None:
    """The dynamic marks stand in the order of loudness, soft first."""
    assert DYNAMICS == ("pp", "p", "mp", "mf", "f", "ff")  # common practice, no source
