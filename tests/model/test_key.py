"""Keys: names, signatures, and the twenty-four."""

import pytest
from music21.key import Key as OtherKey

from gripway.model.key import ALL_KEYS, Key, keys_in_fifths


@pytest.mark.parametrize(
    ("text", "name", "fifths"),
    [
        ("A", "A major", 3),
        ("eb", "Eb major", -3),
        ("F# minor", "F# minor", 3),
        ("Bbm", "Bb minor", -5),
        ("c minor", "C minor", -3),
        ("Cb", "Cb major", -7),
        ("A# minor", "A# minor", 7),
    ],
)
def test_a_key_is_read_from_its_name(text: str, name: str, fifths: int) -> None:
    """Major without a word, minor by m or its name (signatures: common practice, no source)."""
    key = Key.parse(text)
    assert (key.name, key.fifths) == (name, fifths)


@pytest.mark.parametrize("text", ["", "H", "A dorian", "Ax", "G# major", "Fb", "E# minor", "A6"])
def test_what_is_no_key_or_has_no_signature_is_refused(text: str) -> None:
    """A ValueError, for the command to word."""
    with pytest.raises(ValueError, match="key"):
        Key.parse(text)


def test_signatures_are_those_of_music21() -> None:
    """All thirty keys have the sharps an independent library gives them."""
    keys = keys_in_fifths(-7, 7)
    assert len(keys) == 30
    for key in keys:
        other = OtherKey(key.tonic.replace("b", "-"), key.mode)
        assert other.sharps == key.fifths


def test_all_keys_are_one_spelling_of_each_of_twelve_notes_in_both_modes() -> None:
    """Twelve major and twelve minor keys on twelve different notes each."""
    for mode in ("major", "minor"):
        tonics = [OtherKey(k.tonic.replace("b", "-")).tonic.pitchClass for k in ALL_KEYS if k.mode == mode]
        assert sorted(tonics) == list(range(12))
