"""An entrance begins at the note that enters, never in a tie, a slur or the middle of a phrase."""

from dataclasses import replace
from fractions import Fraction

from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES

from gripway.model.passage import Note
from gripway.practice.ways.entrances import entering, entrances, is_cold

LINE = "G5:1/4 A5:1/4 B5:1/4 C6:1/4"


def notes_of(line: str) -> tuple[Note, ...]:
    """Bars of four quarters at 100."""
    return barred(line, 100).notes


def test_it_begins_at_the_note_after_a_bar_of_rest_not_at_its_bar_line() -> None:
    """The last eighth of the bar is where the part comes in."""
    notes = notes_of(f"{LINE} r:7/8 D6:1/8 {LINE} {LINE} {LINE}")
    ((first, last),) = entrances(notes, FIGURES)
    assert (notes[first].pitch.name, notes[first].bar, notes[last].bar) == ("D6", "2", "5")


def test_what_was_before_the_first_note_is_not_known() -> None:
    """It enters only where empty bars stand before it."""
    notes = notes_of(f"{LINE} {LINE}")
    assert entrances(notes, FIGURES) == ()
    assert entrances(notes, FIGURES, before_bars=2) == ((0, 7),)


def test_a_short_rest_is_none_and_a_slurred_note_does_not_enter() -> None:
    """Half a bar is not counted; what is slurred over a rest goes on."""
    assert entering(notes_of(f"{LINE} r:1/2 A5:1/2 {LINE}")) == []
    notes = list(notes_of(f"{LINE} r:1/1 {LINE}"))
    assert entering(notes) == [4]
    notes[4] = replace(notes[4], slurred=True)
    assert entering(notes) == []


def test_soft_ones_come_first_then_those_after_a_longer_rest() -> None:
    """Of f, p and p the p after three bars."""
    notes = notes_of(f"{LINE} r:4/1 f {LINE} r:1/1 p {LINE} r:3/1 p {LINE}")
    assert entering(notes) == [12, 8, 4]


def test_what_comes_in_cold_comes_first() -> None:
    """An f after nine bars of rest before a p after two; after seven it is no such rest."""
    for rest, first in ((9, 8), (7, 4)):
        notes = notes_of(f"f {LINE} r:2/1 p {LINE} r:{rest}/1 f {LINE}")
        assert entering(notes)[0] == first
        assert is_cold(notes, 8) is (first == 8)


def test_the_last_note_enters_but_is_no_entrance() -> None:
    """It is begun, yet there is nothing to come in for."""
    notes = notes_of(f"{LINE} r:2/1 p G6:1/4")
    assert entering(notes) == [4]
    assert entrances(notes, FIGURES) == ()


def test_an_entrance_ends_at_the_next_counted_rest_and_before_a_slur() -> None:
    """Four notes are enough; the first note of the slur that comes next is none of it."""
    notes = notes_of(f"{LINE} r:2/1 C6:1/4 D6:1/4 C6:1/4 D6:1/4 r:1/1 {LINE} {LINE}")
    assert (4, 7) in entrances(notes, FIGURES)
    slurred = notes_of("A5:1/1 r:2/1 " + "C6:1/4 D6:1/4 E6:1/4 F6:1/4 " * 3 + "C6:1/2 B5:1/4 (A5:1/4 G5:1/1)")
    ((first, last), *_) = entrances(slurred, FIGURES)
    assert (first, slurred[last].pitch.name) == (1, "B5")


def test_a_soft_note_under_a_slur_begins_a_passage() -> None:
    """It enters though nothing is known of what came before; a loud or a single one does not."""
    assert entering(notes_of("p (D6:1/2 C6:1/2) B5:1/1")) == [0]
    assert entering(notes_of("f (D6:1/2 C6:1/2) B5:1/1")) == []
    assert entering(notes_of("p D6:1/2 C6:1/2 B5:1/1")) == []


def test_off_the_beat_and_high_are_exposed() -> None:
    """Of three in p that off the beat, then the high one, then the others."""
    notes = notes_of(f"{LINE} r:1/1 p {LINE} r:9/8 A5:7/8 {LINE} r:1/1 D6:1/4 {LINE}")
    found = entering(notes)
    assert [(notes[place].pitch.name, notes[place].at) for place in found] == [
        ("A5", Fraction(1, 8)),
        ("D6", 0),
        ("G5", 0),
    ]


def test_a_repeat_brings_none_again() -> None:
    """The same written note enters once."""
    notes = notes_of(f"{LINE} r:1/1 {LINE}")
    again = [replace(n, onset=n.onset + 9, onset_ms=n.onset_ms + 9e4, time_through=2) for n in notes]
    assert entering([*notes, *again]) == [4]
