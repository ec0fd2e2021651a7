"""Marks of trills: the grip and what moves, readable again."""

import pytest

import gripway
from gripway.edition.printed_pins import read_mark
from gripway.edition.trill_marks import grip_sign, trills_plainly
from gripway.model.grip import Grip
from gripway.model.house_style import EVERY, FIGURES, PLAIN_STYLE, HouseStyle
from gripway.model.mark_text import GRIP, MarkSign, read_sign
from gripway.score.reading.score_reading import ScoreReading, read_score


def score(step: str, octave: int, *, trill: bool = True) -> ScoreReading:
    """One whole note, trilled or not."""
    sign = "<notations><ornaments><trill-mark/></ornaments></notations>" if trill else ""
    text = (
        '<score-partwise><part-list><score-part id="P1"><part-name>Flute</part-name></score-part></part-list>'
        '<part id="P1"><measure number="1"><attributes><divisions>1</divisions></attributes><note><pitch>'
        f"<step>{step}</step><octave>{octave}</octave></pitch><duration>4</duration>{sign}</note>"
        "</measure></part></score-partwise>"
    )
    return read_score(text.encode(), "trill.musicxml")


def marks(data: bytes) -> list[str]:
    """The fingerings of a marked score."""
    return [text for note in read_score(data, "again.musicxml").passage.notes for text in note.fingering]


def marked(reading: ScoreReading, house: HouseStyle = PLAIN_STYLE) -> bytes:
    """The score with the marks of its route."""
    return gripway.mark(reading, gripway.finger(reading.passage, gripway.flute()), house)


def test_a_trill_key_is_marked_though_the_note_is_plain() -> None:
    """C6 with its standard grip, trilled with a trill key: what moves stands behind `tr`."""
    reading = score("C", 6)
    (text,) = marks(marked(reading))
    assert text == "1 | Eb tr Kds"
    assert read_mark(text) == Grip.parse("L1 | Eb")
    assert read_mark(f"[{text}]") == Grip.parse("L1 | Eb")


def test_a_plain_trill_needs_no_mark() -> None:
    """A5-B5 lifts one finger between two standard grips."""
    reading = score("A", 5)
    route = gripway.finger(reading.passage, gripway.flute())
    assert trills_plainly(route.notes[0]) is True
    assert marks(marked(reading)) == []
    assert marks(marked(reading, HouseStyle(which=EVERY))) == ["T 1 2 | Eb"]


def test_a_mark_of_a_trill_is_not_put_twice() -> None:
    """Marking the marked score changes nothing."""
    reading = score("C", 6)
    once = marked(reading)
    assert marked(read_score(once, "once.musicxml")) == once


def test_marks_of_figures_say_what_moves_too() -> None:
    """The first of a figure is told with its trill, and read again as what it was."""
    reading = score("C", 6)
    once = marked(reading, HouseStyle(which=FIGURES))
    (text,) = marks(once)
    assert read_sign(text) == MarkSign(GRIP, Grip.parse("L1 | Eb"), Grip.parse("Kds"))
    assert marked(read_score(once, "once.musicxml"), HouseStyle(which=FIGURES)) == once


@pytest.mark.parametrize(("step", "octave"), [("C", 6), ("D", 4)])
def test_a_note_without_a_trill_has_its_grip_alone(step: str, octave: int) -> None:
    """The mark is the grip as a player reads it."""
    route = gripway.finger(score(step, octave, trill=False).passage, gripway.flute())
    assert trills_plainly(route.notes[0]) is None
    assert grip_sign(route.notes[0]) == MarkSign(GRIP, route.notes[0].candidate.grip)
