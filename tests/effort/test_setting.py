"""What the music says of a note and of a change: exposure, alternation, neighbours, B-flat."""

from dataclasses import replace

import pytest
from tests.oracles.flutes import FIGURES, TABLES
from tests.oracles.passages import played, with_ornament

from gripway.effort.setting import Setting, links, settings
from gripway.model.passage import Passage
from gripway.model.pitch import Pitch


def alternations(passage: Passage) -> list[float]:
    """Alternation of the link into each note but the first."""
    return [link.alternation for link in links(passage.notes, FIGURES)[1:]]


def about(passage: Passage) -> tuple[Setting, ...]:
    """The setting of every note."""
    return settings(passage.notes, links(passage.notes, FIGURES), TABLES)


FAST = 180.0
"""Sixteenths at 180 quarters a minute last 83 ms: an alternation counts in full."""


@pytest.mark.parametrize("notes", ["E6 F#6 E6", "E6 F#6 E6 G6", "E6 F#6 G6 E6 F#6 G6", "E6 E6 E6 E6"])
def test_a_turning_point_is_no_alternation(notes: str) -> None:
    """A b a, a longer turn, a repeated figure of three and a repeated note are lines."""
    assert set(alternations(played(notes, FAST))) == {0.0}


def test_four_notes_make_an_alternation() -> None:
    """A b a b is an alternation through all of its changes, and only through them."""
    assert alternations(played("D6 E6 F#6 E6 F#6 G6", FAST)) == [0.0, 1.0, 1.0, 1.0, 0.0]


@pytest.mark.parametrize(
    ("note_ms", "alternation"), [(100.0, 1.0), (125.0, 1.0), (187.5, 0.5), (250.0, 0.0), (400.0, 0.0)]
)
def test_alternation_fades_in_with_speed(note_ms: float, alternation: float) -> None:
    """Full at 125 ms a note, none at 250 ms, a straight ramp between."""
    passage = played("E6 F#6 E6 F#6", tempo=60_000.0 / note_ms / 4)
    assert alternations(passage) == pytest.approx([alternation] * 3)


def test_time_runs_from_onset_to_onset() -> None:
    """A rest between two notes is time for the change."""
    passage = played("E6 r F#6", 120.0)
    assert links(passage.notes, FIGURES)[1].available_ms == pytest.approx(250.0)


def test_slurs_reach_the_link() -> None:
    """The link into a slurred note is slurred, the one into a tongued note is not."""
    between = links(played("(E6 F#6) G6").notes, FIGURES)
    assert [link.slurred for link in between[1:]] == [True, False]


def test_a_fingered_tremolo_is_a_full_alternation() -> None:
    """Two notes that are written as one tremolo alternate at trill speed, however long they are."""
    passage = with_ornament(
        with_ornament(played("E6 G6", 60.0, "1/2"), 0, "tremolo", "G6"), 1, "tremolo", "E6"
    )
    link = links(passage.notes, FIGURES)[1]
    assert (link.alternation, link.available_ms) == (1.0, FIGURES.trill_note)
    assert about(passage)[0].trill is None  # its other note is written out


def test_a_written_trill_names_its_other_note() -> None:
    """A trilled note alternates in full with its upper note, which counts as a neighbour."""
    setting = about(with_ornament(played("C6", 60.0, "1/2"), 0, "trill", "D6"))[0]
    assert setting.trill == Pitch.parse("D6").number
    assert setting.alternation == 1.0
    assert setting.trill in setting.neighbours & setting.partners


@pytest.mark.parametrize(
    ("text", "exposure"),
    [("D6:1/2", 1.0), ("D6:1/20", 0.5), ("pp D6:1/2", 1.2), ("p D6:1/20", 0.6), ("ff D6:1/2", 1.0)],
)
def test_exposure(text: str, exposure: float) -> None:
    """Length over 200 ms, at most 1; a fifth more for soft notes (a whole note lasts 2 s here)."""
    assert about(played(text, 120.0))[0].exposure == pytest.approx(exposure)


@pytest.mark.parametrize(
    ("text", "uses"),
    [
        ("D6:1/16", {"motion"}),
        ("D6:1/8", set()),
        ("D6:1/2", {"sustained"}),
        ("pp D6:1/2", {"sustained", "soft"}),
        ("ff D6:1/16", {"motion", "loud"}),
        ("mp D6:1/8", set()),
    ],
)
def test_uses(text: str, uses: set[str]) -> None:
    """Motion below 200 ms, sustained from 600 ms, soft to p, loud from f (125 ms a sixteenth)."""
    assert about(played(text, 120.0))[0].uses == uses


@pytest.mark.parametrize(
    ("text", "fifths", "near"),
    [
        ("A5 Bb5 B5", -1, "beside"),  # rule: lever or one-and-one beside B natural
        ("F#6 A#5 C#6", 0, "beside"),  # and beside F#6
        ("F#5 A#5 C#6", 0, "sharp"),  # F#5 does not ask for the plain thumb
        ("A5 Bb5 C6 D6 B5", 0, "near"),
        ("A5 Bb5 C6 D6 E6 F6 B5", 0, "flat"),  # five notes off is not near; spelt flat
        ("A5 A#5 C6", -1, "flat"),  # a flat key
        ("A5 A#5 C6", 0, "sharp"),
        ("F5 G5 Cb6 C6 Bb5", -5, "near"),  # C flat is B natural to the fingers
    ],
)
def test_how_b_natural_lies_about(text: str, fifths: int, near: str) -> None:
    """Beside, near, flat or sharp for the B-flat of the passage."""
    passage = played(text, 120.0, fifths=fifths)
    place = next(k for k, note in enumerate(passage.notes) if note.pitch.number % 12 == 10)
    assert about(passage)[place].near == near


def test_neighbours_are_the_notes_on_both_sides() -> None:
    """The pitches before and after, whatever the length of the passage."""
    passage = played("E6 F#6 G6")
    numbers = [note.pitch.number for note in passage.notes]
    assert [s.neighbours for s in about(passage)] == [{numbers[1]}, {numbers[0], numbers[2]}, {numbers[1]}]


def test_partners_are_those_it_alternates_with() -> None:
    """Only the note of the alternation is a partner, not a neighbour outside it."""
    passage = played("D6 E6 F#6 E6 F#6 G6", FAST)
    e6, f_sharp6 = Pitch.parse("E6").number, Pitch.parse("F#6").number
    assert about(passage)[1].partners == {f_sharp6}
    assert about(passage)[4].partners == {e6}
    assert about(passage)[5].partners == frozenset()


def test_grace_notes_have_their_own_short_time() -> None:
    """Two notes with one onset leave the first its own short length, never less than 20 ms."""
    passage = played("E6 F#6")
    grace = replace(passage.notes[0], length_ms=40.0, onset_ms=passage.notes[1].onset_ms, grace=True)
    assert links((grace, passage.notes[1]), FIGURES)[1].available_ms == 40.0
