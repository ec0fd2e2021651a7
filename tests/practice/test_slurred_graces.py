"""Grace notes that lack the slur of their like, and those of which the beat is asked."""

from dataclasses import replace

from tests.oracles.passages import barred

from gripway.model.passage import Ornament, Passage
from gripway.page.sheet.heading_words import asked_words, grace_words
from gripway.practice.cells.slurred_graces import graces_to_ask, with_slurred_graces
from gripway.tasks.flutes import flute
from gripway.tasks.practise import practise

SLURRED, BARE = "{(C#6} D6:1/4) r:1/4 A5:1/2 ", "{C#6 B5 A#5} B5:1/4 r:1/4 A5:1/2 "


def slurs(passage: Passage) -> list[bool]:
    """Which notes are slurred from the one before."""
    return [note.slurred for note in passage.notes]


def in_four(text: str) -> Passage:
    """A line in 4/4."""
    line = barred(text, 100)
    return replace(line, notes=tuple(replace(note, metre=(4, 4)) for note in line.notes))


def test_grace_notes_have_the_slur_that_most_of_the_passage_have() -> None:
    """Three grace notes without a slur beside two with one; left alone where as many have none."""
    line = barred(SLURRED + BARE + SLURRED, 100)
    made = with_slurred_graces(line)
    assert slurs(line)[3:7] == [False] * 4
    assert slurs(made)[3:7] == [False, True, True, True]
    assert [*slurs(made)[:3], *slurs(made)[7:]] == [*slurs(line)[:3], *slurs(line)[7:]]
    assert slurs(practise(line, flute()).route.passage) == slurs(made)
    even = barred(SLURRED + BARE, 100)
    assert with_slurred_graces(even) is even


def test_a_grace_note_that_leans_on_the_beat_is_asked_about_once() -> None:
    """A5 a step above G5 on a beat; not a short note, one from below, one of two, nor one off the beat."""
    leaning, below = "{A5} G5:1/4 r:1/4 A5:1/2 ", "{F#5} G5:1/4 r:1/4 A5:1/2 "
    short, two = "{A5} G5:1/16 r:3/16 r:1/4 A5:1/2 ", "{A5 B5} A5:1/4 r:1/4 A5:1/2 "
    off = "r:1/16 {A5} G5:3/16 r:1/4 A5:1/2 "
    for others in (below, short, two, off):
        line = in_four(leaning + others + "A5:1/1 " * 4 + leaning)
        assert [line.notes[at].bar for at in graces_to_ask(line.notes)] == ["1", "7"]
        assert graces_to_ask([replace(note, time_through=2) for note in line.notes]) == ()
    line = in_four(leaning + "A5:1/1 " * 4 + leaning)
    plan = practise(line, flute())
    told = "The grace notes in bars 1 and 6: before the beat or on it, as your teacher has it."
    assert grace_words(plan) == asked_words(plan, first=True) == told
    assert grace_words(practise(in_four(below), flute())) == ""


def test_where_grace_notes_are_many_all_are_asked_about() -> None:
    """Four groups in bars 1 to 4, three are not yet many; the endings of trills are before the beat."""
    group = "{D6 C6 B5} C6:1/4 r:1/4 A5:1/2 "
    asked = [grace_words(practise(in_four(group * count + "A5:1/1 "), flute())) for count in (3, 4)]
    assert asked == ["", "The grace notes in bars 1-4: before the beat or on it, as your teacher has it."]
    notes = in_four("C6:1/4 " + group * 4).notes
    trilled = [
        replace(note, ornament=Ornament("trill", upper=note.pitch)) if not note.grace else note
        for note in notes
    ]
    assert graces_to_ask(trilled) == ()
