"""Scales and patterns: inside the range, spelt right, whole bars, as independent libraries have them."""

from fractions import Fraction
from itertools import pairwise

import music21
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.every import every
from tests.score.w3c_schema import schema_errors
from tests.tiers import examples, some

from gripway.catalog.tables.pattern_table import ANY, NONE, PatternKind, pattern_kinds
from gripway.model.key import Key, keys_in_fifths
from gripway.model.pitch import Pitch
from gripway.practice.cells.patterns import Pattern, pattern
from gripway.score.writing.write_score import Section, write_score

KEYS = keys_in_fifths(-7, 7)
CASES = [
    (kind, key) for key in KEYS for kind in pattern_kinds().values() if kind.keys in (key.mode, ANY, NONE)
]
LOW, HIGH = 60, 98
"""C4 to D7."""

SIXTEENTH = Fraction(1, 16)
WAYS = music21.scale.Direction.ASCENDING, music21.scale.Direction.DESCENDING
SCALES = {
    "major": music21.scale.MajorScale,
    "natural-minor": music21.scale.MinorScale,
    "harmonic-minor": music21.scale.HarmonicMinorScale,
    "melodic-minor": music21.scale.MelodicMinorScale,
}


def made(
    kind: PatternKind, key: Key, low: int = LOW, high: int = HIGH, unit: Fraction = SIXTEENTH
) -> Pattern:
    """A pattern that is there."""
    found = pattern(kind, key, low, high, unit, 120.0)
    assert found is not None
    return found


def names(found: Pattern) -> list[str]:
    """The notes as spelt."""
    return [note.pitch.name for note in found.passage.notes]


@pytest.mark.parametrize("key", KEYS, ids=lambda key: key.name)
@pytest.mark.parametrize("kind", SCALES)
def test_scales_are_spelt_as_music21_spells_them(kind: str, key: Key) -> None:
    """Every scale in every key, up and down, name by name: Eb in Eb major, F double sharp in G# minor."""
    if pattern_kinds()[kind].keys != key.mode:
        return
    found = made(pattern_kinds()[kind], key)
    scale = SCALES[kind](key.tonic.replace("b", "-"))
    halves = found.passage.notes[: found.turn + 1], found.passage.notes[found.turn + 1 :]
    for half, direction in zip(halves, WAYS, strict=True):
        degrees = [scale.pitchFromDegree(degree, direction=direction) for degree in range(1, 8)]
        numbers = sorted((note.pitch.number for note in half), reverse=direction is WAYS[1])
        assert [note.pitch.number for note in half] == numbers
        assert {p.pitchClass for p in degrees} == {number % 12 for number in numbers}
        assert {p.name.replace("-", "b") for p in degrees} == {
            n.pitch.name.rstrip("0123456789") for n in half
        }


@pytest.mark.parametrize(
    ("kind", "key", "figure"),
    [
        ("major-arpeggio", "Eb", "Eb G Bb"),
        ("minor-arpeggio", "F# minor", "F# A C#"),
        ("dominant-seventh", "A", "E G# B D"),
        ("diminished-seventh", "A minor", "G# B D F"),
        ("diminished-seventh", "G# minor", "F## A# C# E"),
        ("whole-tone", "C", "C D E F# G# A#"),
    ],
)
def test_chords_have_their_notes(kind: str, key: str, figure: str) -> None:
    """Chord tones by hand (common practice, no source)."""
    found = made(pattern_kinds()[kind], Key.parse(key))
    assert {name.rstrip("0123456789") for name in names(found)} == set(figure.split())


def test_thirds_are_broken_and_turn_on_the_highest_note() -> None:
    """First and third, second and fourth, ...; back the same way, without a note twice in a row."""
    found = made(pattern_kinds()["major-thirds"], Key.parse("C"), 84, 91)
    up = "C6 E6 D6 F6 E6 G6"
    assert names(found) == [*up.split(), *reversed(up.split()[:-1])]
    assert found.passage.notes[found.turn].pitch.name == "G6"


def test_the_chromatic_scale_has_sharps_up_and_flats_down_in_every_key() -> None:
    """Common practice, no source."""
    found = made(pattern_kinds()["chromatic"], Key.parse("Db"), 84, 96)
    assert names(found)[:4] == ["C6", "C#6", "D6", "D#6"]
    assert names(found)[-4:] == ["Eb6", "D6", "Db6", "C6"]
    assert {note.fifths for note in found.passage.notes} == {0}


@every(some(CASES, 5), lambda kind, key: f"{key.name}-{kind.id}")
def test_every_pattern_in_every_key_is_music(kind: PatternKind, key: Key) -> None:
    """In range, up then down, slurred, valid MusicXML with full bars, read alike by music21."""
    found = made(kind, key)
    notes = found.passage.notes
    assert all(LOW <= note.pitch.number <= HIGH for note in notes)
    assert notes[found.turn].pitch.number == max(note.pitch.number for note in notes[: found.turn + 1])
    assert all(before.pitch.number != after.pitch.number for before, after in pairwise(notes))
    assert {note.fifths for note in notes} == {0 if kind.keys in (ANY, NONE) else key.fifths}
    assert all(before.onset + before.length <= after.onset for before, after in pairwise(notes))
    data = write_score([Section(found.passage)]).data
    assert schema_errors(data) == []
    part = music21.converter.parseData(data, format="musicxml").parts[0]
    assert {float(measure.duration.quarterLength) for measure in part.getElementsByClass("Measure")} == {4.0}
    read = [
        n.pitch.nameWithOctave.replace("-", "b")
        for n in part.flatten().notes
        if not n.tie or n.tie.type == "start"
    ]
    assert read == names(found)


@settings(max_examples=examples(60))
@given(st.sampled_from(CASES), st.integers(LOW, HIGH), st.integers(0, 24), st.sampled_from([1, 2, 3]))
def test_any_range_is_kept(case: tuple[PatternKind, Key], low: int, wide: int, unit: int) -> None:
    """Whatever the ends: nothing outside, or no pattern where two notes do not fit."""
    kind, key = case
    found = pattern(kind, key, low, low + wide, Fraction(unit, 16), 120.0)
    if found is None:
        assert wide < 8
        return
    assert all(low <= note.pitch.number <= low + wide for note in found.passage.notes)
    end = found.passage.notes[-1]
    assert (end.onset + end.length) % Fraction(1, 4) == 0
    assert [found.direction(to) for to in (1, len(found.passage.notes) - 1)] == ["up", "down"]


def test_melodic_minor_turns_after_a_rest_where_it_turns_on_another_note() -> None:
    """From the raised leading note up to the plain one down there is no slur and time to change."""
    found = made(pattern_kinds()["melodic-minor"], Key.parse("A minor"), 81, 92)
    before, after = found.passage.notes[found.turn : found.turn + 2]
    assert (before.pitch, after.pitch) == (Pitch.parse("G#6"), Pitch.parse("G6"))
    assert (after.slurred, after.onset - before.onset - before.length) == (False, Fraction(1, 4))
