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


def test_what_is_after_less_than_a_bar_comes_last() -> None:
    """A high p after three quarters comes after a low f that four empty bars stand before."""
    notes = notes_of(f"f {LINE} {LINE} p D6:1/4 r:3/4 G6:1/4 {LINE} {LINE}")
    assert entering(notes, 4) == [0, 9]


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


def test_an_entrance_ends_at_the_next_counted_rest() -> None:
    """Four notes are enough."""
    notes = notes_of(f"{LINE} r:2/1 C6:1/4 D6:1/4 C6:1/4 D6:1/4 r:1/1 {LINE} {LINE}")
    assert (4, 7) in entrances(notes, FIGURES)


def test_an_entrance_goes_to_the_end_of_its_phrase() -> None:
    """Its longest rest, else a slur that goes over the bar line, or the downbeat short notes run to."""
    before, run = "A5:1/1 r:2/1", "C6:1/8 D6:1/8 E6:1/8 F6:1/8 G6:1/8 F6:1/8 E6:1/8 D6:1/8"
    for line, end in (
        (f"{before} {run} {run} C6:1/2 r:1/2 {run} {run} {run} {run} {run}", ("6", "C6")),
        (
            f"{before} "
            + "C6:1/4 D6:1/4 E6:1/4 F6:1/4 " * 3
            + "C6:1/2 B5:1/4 (A5:1/4 G5:1/2) B5:1/2 D6:1/1 D6:1/1 D6:1/1",
            ("8", "G5"),
        ),
        (f"{before} {run} {run} {run} {run} {run} {run} {run}", ("8", "C6")),
    ):
        notes = notes_of(line)
        ((first, last), *_) = entrances(notes, FIGURES)
        assert (first, (notes[last].bar, notes[last].pitch.name)) == (1, end), line


def test_a_passage_with_an_upbeat_does_not_enter_with_its_first_note() -> None:
    """Though it is soft and begins a slur."""
    assert entering(notes_of("p (D6:1/2 C6:1/2) B5:1/1"), None) == []


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


def test_a_soft_entrance_that_comes_in_cold_may_be_short() -> None:
    """After nine bars two notes in p are an entrance; in f, after two bars or one alone is none."""
    two = "G6:1/4 F6:1/4"
    for rest, line, enters in (
        (9, f"p {two}", True),
        (9, f"f {two}", False),
        (2, f"p {two}", False),
        (9, "p G6:1/4", False),
    ):
        notes = notes_of(f"f {LINE} r:{rest}/1 {line}")
        assert (entrances(notes, FIGURES) == ((4, 5),)) is enters


def test_a_figure_that_goes_on_after_a_rest_is_no_entrance() -> None:
    """The same four notes again are none, other ones are."""
    other = "D6:1/4 E6:1/4 F6:1/4 D6:1/4"
    assert entrances(notes_of(f"{LINE} r:1/1 {LINE}"), FIGURES) == ()
    assert entrances(notes_of(f"{LINE} r:1/1 {other}"), FIGURES) == ((4, 7),)


def test_no_entrance_begins_on_one_of_a_row_of_hits() -> None:
    """Of four notes that are each alone in their bars none is an entrance, nor what follows the last."""
    hits = "r:3/4 D6:1/4 " * 4
    assert entrances(notes_of(f"{LINE} {hits} {LINE}"), FIGURES) == ()
