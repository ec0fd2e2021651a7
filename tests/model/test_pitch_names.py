"""German, Helmholtz and solfege names are told in English, and nothing else is."""

import pytest
from tests.every import every

from gripway.model.pitch import NotAPitchError, Pitch
from gripway.model.pitch_names import english_name


@every(
    [
        # German names as in any German textbook (common practice, no source)
        ("H5", "B5"),
        ("Fis6", "F#6"),
        ("es5", "Eb5"),
        ("As4", "Ab4"),
        ("Ases4", "Abb4"),
        ("Hes5", "Bb5"),
        ("Fisis5", "F##5"),
        ("Eis5", "E#5"),
        # Helmholtz, Tonempfindungen, 1863: c' is middle C, C two octaves and c one below it
        ("c'", "C4"),
        ("c'''", "C6"),
        ("C", ""),
        ("C,", "C1"),
        ("fis''", "F#5"),
        ("h", "B3"),
        ("f♯''", "F#5"),
        ("b''", "B5, or Bb5 for a German b"),
        # solfege, whose octaves are counted from different numbers
        ("do5", "C and its octave (C4 is middle C)"),
        ("sol♯", "G# and its octave (C4 is middle C)"),
        ("ré bémol 4", "Db and its octave (C4 is middle C)"),
        ("si", "B and its octave (C4 is middle C)"),
        # no pitch in any language
        ("foo", ""),
        ("E66", ""),
        ("F#", ""),
        ("Fis", "F# and its octave (C4 is middle C)"),
        ("dodo", ""),
        ("Cs5", ""),
        ("", ""),
    ]
)
def test_names_of_other_languages(text: str, name: str) -> None:
    """What the name is in English, empty where it is no such name."""
    assert english_name(text) == name


def test_what_is_read_already_is_read_as_english() -> None:
    """B5 is B, as in English; every name the tool writes is read back."""
    assert Pitch.parse("B5").number == 83
    for number in range(40, 110):
        assert Pitch.parse(Pitch.from_number(number).name).number == number


@pytest.mark.parametrize(
    ("text", "name"),
    [("F♯6", "F#6"), ("B♭5", "Bb5"), ("F𝄪5", "F##5"), ("E𝄫4", "Ebb4"), ("F♮5", "F5"), ("F♯♯5", "F##5")],
)
def test_printed_signs_are_read(text: str, name: str) -> None:
    """The signs of Unicode (U+266D to U+266F, U+1D12A, U+1D12B) mean what they do in print."""
    assert Pitch.parse(text).name == name


def test_the_error_tells_what_to_write() -> None:
    """The English name where there is one, else how a pitch is written."""
    with pytest.raises(NotAPitchError) as caught:
        Pitch.parse("Fis6")
    assert (caught.value.what, caught.value.next_step) == ("'Fis6' is not a pitch", "In English it is F#6")
    with pytest.raises(ValueError, match="'foo' is not a pitch; write a letter, # or b, and an octave"):
        Pitch.parse("foo")
