"""The key of drills: that of the part, or the one that sounds there where this saves signs."""

from dataclasses import replace

import pytest
from tests.oracles.passages import played
from tests.oracles.practice import A_MAJOR, FIGURES, drills_in, routed

from gripway.model.key import ALL_KEYS
from gripway.model.pitch import Pitch
from gripway.practice.drills.drills import Drill
from gripway.practice.drills.sounding_key import alter_in, drill_fifths, sounding_fifths


def key_of(text: str, fifths: int, **figures: float) -> int:
    """The signature found for the middle of a line."""
    notes = routed(played(text, 100, fifths=fifths))[1].notes
    return sounding_fifths(notes, len(notes) // 2, replace(FIGURES, **figures))


@pytest.mark.parametrize(("text", "fifths"), [(A_MAJOR, 0), (A_MAJOR, -1), ("D6 E6 F#6 E6 D6", 0)])
def test_all_drills_of_a_cell_have_one_signature_another_where_that_saves_two_signs(
    text: str, fifths: int
) -> None:
    """A major under C and under F: three sharps where two pitches need none then, else the part's own."""
    found: dict[str, list[Drill]] = {}
    for cell, drill in drills_in(played(text, 100, fifths=fifths)):
        found.setdefault(cell.key, []).append(drill)
    assert found
    for drills in found.values():
        (key,) = {note.fifths for drill in drills for note in drill.passage.notes}
        pitches = {note.pitch for drill in drills for note in drill.passage.notes}
        signs = [sum(pitch.alter != alter_in(each, pitch) for pitch in pitches) for each in (fifths, 3)]
        assert key == (3 if text == A_MAJOR and signs[0] - signs[1] >= 2 else fifths)


@pytest.mark.parametrize(
    ("text", "written", "sounding", "key"),
    [
        ("C6 D6 C6 D6", 0, 1, 0),  # neither needs a sign in either
        ("G#6 A6 G#6 A6", 2, 3, 2),  # one raised note, however often it comes
        ("F#6 G#6 A6", 0, 3, 3),
        ("F#6 G#6 A6", 2, 3, 2),
        ("Bb5 Eb6 Bb6", 0, -3, -3),
    ],
)
def test_a_small_drill_keeps_the_signature_of_the_part(
    text: str, written: int, sounding: int, key: int
) -> None:
    """Two pitches at least must be spared their accidental by the key that sounds around."""
    pitches = [note.pitch for note in played(text, 100).notes]
    assert drill_fifths(pitches, written, sounding, FIGURES) == key
    never = replace(FIGURES, key_saves_notes=len(pitches) + 1)
    assert drill_fifths(pitches, written, sounding, never) == written


@pytest.mark.parametrize(
    ("text", "fifths"),
    [
        ("C5 C#5 D5 D#5 E5 F5 F#5 G5 G#5 A5 A#5 B5 C6", 0),  # chromatic: no key leaves half of the signs
        ("A4 B4 C5 D5 E5 F5 G#5 A5", 0),  # harmonic minor: one raised note is no other key
        ("E4 F#4 G4 A4 B4 C5 D#5 E5", 1),
    ],
)
def test_the_signature_of_the_part_stays_where_it_fits_well_enough(text: str, fifths: int) -> None:
    """Raised notes and chromatic lines leave the signature alone."""
    assert key_of(text, fifths) == fifths


def test_another_signature_is_taken_at_its_share_and_not_above() -> None:
    """Two accidentals under C, one under G: at half of them G is taken, at a little less C stays."""
    text = "G5 F#5 G5 C#5 D5"
    assert key_of(text, 0, key_share=0.5) != 0
    assert key_of("F#5 G5 F#5 F5 G5", 0, key_share=0.5) == 1
    assert key_of("F#5 G5 F#5 F5 G5", 0, key_share=0.49) == 0


def test_only_notes_within_reach_count() -> None:
    """Sharps beyond the reach on either side are not heard, at the reach they are."""
    text = "F#5 C#5 " + "D5 E5 " * 4 + "C#5 F#5"
    assert key_of(text, 0, key_reach_notes=3) == 0
    assert key_of(text, 0, key_reach_notes=6) == 2


def test_a_signature_alters_as_the_scale_of_its_key() -> None:
    """Checked against the major scale of every key, step by step (common practice)."""
    for key in (key for key in ALL_KEYS if key.mode == "major"):
        at, altered = "CDEFGAB".index(key.step), []
        number = Pitch(key.step, key.alter, 4).number
        for semitones in (0, 2, 4, 5, 7, 9, 11):
            letter = "CDEFGAB"[at % 7]
            plain = Pitch(letter, 0, 4).number
            altered.append((letter, (number + semitones - plain + 6) % 12 - 6))
            at += 1
        assert all(alter_in(key.fifths, Pitch(letter, 0, 5)) == alter for letter, alter in altered)
