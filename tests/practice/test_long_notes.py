"""Long notes are about what the part holds, softly, low and high, and about the notes that enter."""

from dataclasses import replace

from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES

from gripway.model.passage import Note
from gripway.practice.plan.plan import Plan
from gripway.practice.ways.entrances import entering
from gripway.practice.ways.long_notes import Held, beginnings, long_notes, soft_high
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

RUN = "G5 A5 B5 C6 D6 C6 B5 A5 G5 A5 B5 C6 D6 C6 B5 A5"


def notes_of(line: str, tempo: float = 100) -> tuple[Note, ...]:
    """Bars of four quarters."""
    return barred(line, tempo).notes


def names(notes: tuple[Note, ...], held: Held) -> str:
    """The names of the notes that are held."""
    return " ".join(notes[place].pitch.name for place in held.places)


def test_they_are_about_the_long_notes_never_about_a_run() -> None:
    """Of running bars with four long notes these are held."""
    notes = notes_of(f"{RUN} E5:1/2 A5:1/2 {RUN} F6:3/4 D5:1/4 {RUN}")
    found = long_notes(notes, FIGURES)
    assert {name for held in found for name in names(notes, held).split()} == {"E5", "A5", "F6", "D5"}
    assert all(notes[place].length_ms >= FIGURES.study_long_ms for held in found for place in held.places)


def test_the_soft_ones_come_first_then_the_lowest_then_others() -> None:
    """One day the soft ones, then A6, which tires; one day the low ones, one day the longest."""
    bars = ["f C5:1/1", RUN, RUN, RUN, "f D4:1/2 E4:1/2", RUN, RUN, RUN, "p B5:1/2 A5:1/2", RUN, RUN, RUN]
    notes = notes_of(" ".join([*bars, "f A6:1/2 r:1/2"]))
    found = long_notes(notes, FIGURES)
    assert [names(notes, held) for held in found] == ["B5 A5", "A6", "D4 E4", "C5"]


def test_staccato_trills_and_graces_are_not_held() -> None:
    """They are no long notes however long they sound."""
    notes = notes_of("A5:1/2 B5:1/2 C6:1/2 D6:1/2 E6:1/1")
    short = tuple(replace(note, articulations=("staccato",)) if note.bar == "3" else note for note in notes)
    held = {place for each in long_notes(short, FIGURES) for place in each.places}
    assert held == {0, 1, 2, 3}


def test_a_long_rest_parts_what_is_held_together() -> None:
    """Notes before and after twenty seconds of rest are not of one day."""
    notes = notes_of("A5:1/1 r:8/1 B5:1/1 C6:1/1 D6:1/1", 100)
    assert "A5 B5" not in {names(notes, held)[:5] for held in long_notes(notes, FIGURES)}


def test_soft_attacks_on_high_notes_come_first() -> None:
    """From D6 in p, the highest first; not loud ones, slurred ones, or those of a tongued run."""
    bars = ["p C6:1/4 D6:1/4 E6:1/2", RUN, RUN, RUN, RUN, "p A6:1/2 C6:1/2", "f G6:1/1", f"p {RUN}"]
    notes = notes_of(" ".join(bars))
    found = soft_high(notes, FIGURES)
    assert [names(notes, held) for held in found] == ["A6", "D6 E6"]
    assert soft_high(notes_of("p (C6:1/4 D6:1/4 E6:1/2)"), FIGURES) == ()


def test_beginnings_are_those_of_notes_that_enter() -> None:
    """The note after the rest and the tongued slow ones after it."""
    notes = notes_of("A5:1/1 r:1/1 C6:1/2 D6:1/2 G5 A5 B5 C6")
    (held,) = beginnings(notes, entering(notes, begins=False), FIGURES)
    assert names(notes, held) == "C6 D6"


def test_a_plan_holds_notes_of_a_cell_only_to_learn_a_grip() -> None:
    """A hard run with one long low note at its end: that is held, no note of the run."""
    hard = "D6 E6 F#6 G#6 A6 G#6 F#6 E6 D6 C#6 B5 A5 G#5 F#5 E5 D5"
    line = f"{hard} {hard} E4:1/1 G4:1/1 B4:1/1 D5:1/1"
    plan: Plan = practise(barred(line, 120), flute(), time=PracticeTime(20, 5))
    held = [study for day in plan.days for study in day.studies if not study.quarters and "(" in study.about]
    assert plan.cells
    assert held
    assert {name for study in held for name in study.about.strip("()").split()} <= {"E4", "G4", "B4", "D5"}
