"""Words that change the tempo without a number are told once, with their bars."""

from dataclasses import replace
from fractions import Fraction

from tests.oracles.passages import barred

from gripway.cli.text.practise_text import practise_text
from gripway.page.sheet.pace_words import pace_words
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import PracticeTime, practise

LINE = "E6 F#6 G#6 A6 " * 4
TOLD = "Bar 1 rit., before bar 2 più lento, bar 3 calando: no number is printed, follow the conductor."


def test_words_of_pace_are_told_in_the_text_and_on_each_sheet() -> None:
    """At a note, over the rests before it, under a held one; character, dynamics and a tempo are none."""
    passage = barred(LINE * 3, 120)
    words = {1: ("dolce", "rit."), 16: ("[più lento.]",), 18: ("a tempo", "grazioso", "cresc.")}
    notes = [replace(note, words=words.get(at, ())) for at, note in enumerate(passage.notes)]
    notes[32] = replace(notes[32], during=((Fraction(1, 16), "calando"), (Fraction(1, 16), "ff")))
    passage = replace(passage, notes=tuple(notes))
    assert pace_words(passage, [(0, 47)]) == TOLD
    assert pace_words(passage, [(2, 15), (17, 31)]) == ""
    plan = practise(passage, flute(), time=PracticeTime(20, 2))
    assert TOLD in " ".join(practise_text(plan, flute()).split())
    assert all(TOLD in day_page(plan, day).asked for day in plan.days)


def test_another_tempo_that_a_mark_makes_a_number_is_not_told() -> None:
    """From bar 2 on the notes are faster: più mosso has its number; a rit. never has one."""
    notes = barred(LINE * 2, 120).notes
    faster = [replace(note, length_ms=note.length_ms / 2) for note in notes[16:]]
    faster[0] = replace(faster[0], words=("più mosso",))
    passage = replace(barred(LINE * 2, 120), notes=(*notes[:16], *faster))
    assert pace_words(passage, [(0, 31)]) == ""
    faster[0] = replace(faster[0], words=("rit.",))
    passage = replace(passage, notes=(*notes[:16], *faster))
    assert pace_words(passage, [(0, 31)]).startswith("Bar 2 rit.:")
