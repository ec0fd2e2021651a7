"""Written pitch: reading, spelling, note numbers."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gripway.model.pitch import ALTER_TEXT, STEP_NUMBERS, Pitch, plain_name

PITCHES = st.builds(
    Pitch,
    st.sampled_from(sorted(STEP_NUMBERS)),
    st.sampled_from(sorted(ALTER_TEXT)),
    st.integers(min_value=0, max_value=8),
)


@given(PITCHES)
def test_a_printed_pitch_reads_back_as_itself(pitch: Pitch) -> None:
    """Parsing undoes printing, spelling included."""
    assert Pitch.parse(pitch.name) == pitch
    assert Pitch.parse(f" {pitch.name[0].lower()}{pitch.name[1:]} ") == pitch


@given(PITCHES)
def test_the_plain_name_is_the_same_key(pitch: Pitch) -> None:
    """The table name has the note number of the pitch, and no flat or double sharp."""
    assert Pitch.parse(pitch.plain).number == pitch.number
    assert "b" not in pitch.plain
    assert "##" not in pitch.plain


@given(st.integers(min_value=0, max_value=127))
def test_note_numbers_and_plain_pitches_pair_up(number: int) -> None:
    """Going from a number to the plain pitch and back changes nothing."""
    assert Pitch.from_number(number).number == number
    assert Pitch.from_number(number).name == plain_name(number)


@pytest.mark.parametrize(
    ("text", "number"),
    # MIDI 1.0 note numbers with 60 = middle C; middle C is C4 in scientific pitch notation
    # (Acoustical Society of America, 1939), as in MusicXML 4.0, element octave
    [("C4", 60), ("A4", 69), ("B3", 59), ("C7", 96), ("Cb4", 59), ("B#3", 60), ("Fx6", 91), ("Ebb4", 62)],
)
def test_note_numbers_follow_the_midi_standard(text: str, number: int) -> None:
    """C4 is 60 and every semitone counts one, whatever the spelling."""
    assert Pitch.parse(text).number == number


@pytest.mark.parametrize("text", ["", "C", "4", "C###4", "Cbbb4", "C#b4", "C44", "C 4", "r"])
def test_what_is_no_pitch_is_refused_with_advice(text: str) -> None:
    """Anything else is refused, and the message shows how a pitch is written."""
    with pytest.raises(ValueError, match="is not a pitch; write a letter"):
        Pitch.parse(text)


@pytest.mark.parametrize(("step", "alter"), [("H", 0), ("c", 0), ("C", 3), ("C", -3)])
def test_a_pitch_checks_itself(step: str, alter: int) -> None:
    """A pitch with a letter or alteration that does not exist cannot be made."""
    with pytest.raises(ValueError, match="no such pitch"):
        Pitch(step, alter, 4)
