"""Drills begin and end as a teacher writes them: on the note arrived at, in the key of the part."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.oracles.passages import barred, played
from tests.oracles.practice import A_MAJOR, FIGURES, drills_in

from gripway.practice.drills.drills import IN_THE_PART, Drill
from gripway.practice.ways.spots import MOST_BESIDE, HardPlace, from_their_runs, side_by_side
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise


def in_the_part(text: str, tempo: float) -> list[Drill]:
    """The drills of a line that stand in the part."""
    found = drills_in(barred(text, tempo))
    return [drill for _, drill in found if drill.kind == IN_THE_PART]


@pytest.mark.parametrize("fifths", [-1, 0, 1, 3])
def test_drills_have_the_key_signature_of_the_part(fifths: int) -> None:
    """A major under another signature keeps that one: the pupil reads what stands in the part."""
    found = drills_in(played(A_MAJOR, 100, fifths=fifths))
    assert found
    assert {note.fifths for _, drill in found for note in drill.passage.notes} == {fifths}


def test_a_group_ends_on_the_long_note_on_the_beat_and_not_on_the_next_one_off_it() -> None:
    """E6 F#6 into a dotted quarter: the eighth after that is no arrival."""
    drills = in_the_part("A5:1/4 C#6:1/8 D6:1/16 F#6:1/16 E6:3/8 D6:1/8 " * 2, 120)
    assert drills
    for drill in drills:
        last = drill.passage.notes[-1]
        assert last.onset % Fraction(1, 4) == 0, drill.notation


def test_no_group_begins_with_a_note_before_a_long_rest() -> None:
    """A5, a quarter's rest, then the run: the drill begins with the run."""
    drills = in_the_part("A5:1/4 r:1/4 D6 E6 F#6 E6 D6:1/4 " * 2, 140)
    assert drills
    assert all(drill.passage.notes[0].pitch.name != "A5" for drill in drills)


def test_rhythms_are_for_even_runs_of_four_notes_and_more() -> None:
    """Sixteenths have them; eighth and sixteenths, three notes alone and grace notes have none."""

    def has_rhythm(text: str) -> bool:
        return any(drill.rhythm for _, drill in drills_in(barred(text, 140)))

    assert has_rhythm("D6 E6 F#6 G#6 A6:1/4 r:1/2 " * 2)
    for text in (
        "D6:1/8 E6 F#6 D6:1/4 r:1/2 " * 2,
        "r:1/8 E6 F#6 G#6:1/4 r:1/2 " * 2,
        "{E6 F#6 E6} D6:1/4 r:1/4 A5:1/2 " * 2,
    ):
        assert not has_rhythm(text), text


def test_hard_bars_side_by_side_are_one_row_but_for_those_with_a_drilled_cell() -> None:
    """Of four bars each on to the next three are one at most; a drilled or a leading one stays alone."""
    bars = [HardPlace(first, first + 4, 100.0, (str(first),)) for first in (0, 4, 8, 12)]
    joined = side_by_side(bars)
    assert [(each.first, each.last) for each in joined] == [(0, 12), (12, 16)]
    assert len(joined[0].titles) == MOST_BESIDE
    assert [(each.first, each.last) for each in side_by_side(bars, [5])] == [(0, 4), (4, 8), (8, 16)]
    assert len(side_by_side([bars[0], bars[2]])) == 2


def test_a_hard_bar_begins_with_the_run_that_goes_on_into_it() -> None:
    """Six eighths before it: not where a rest, a slur or longer notes are, nor where other work is."""
    run, bar = "D5:1/8 E5:1/8 F5:1/8 G5:1/8 A5:1/8 B5:1/8 ", "C6:1/8 D6:1/8 E6:1/8 D6:1/8 C6:1/2"
    for text, drilled, begin in (
        ("A5:1/4 " + run + bar, (), 1),
        ("A5:1/4 " + run + bar, (3,), 7),
        ("A5:1/4 " + run.replace("B5:1/8", "B5:1/16 r:1/16") + bar, (), 7),
        ("(A5:1/4 " + run[:-1] + ") " + bar, (), 7),
        ("A5:1/4 D5:1/8 E5:1/8 F5:1/2 " + bar, (), 4),
        ("A4:1/8 B4:1/8 C5:1/2 C#5:1/8 D5:1/8 A5:1/8 B5:1/8 " + run + bar, (), 13),
    ):
        notes = barred(text, 200).notes
        first = next(at for at, note in enumerate(notes) if note.pitch.name == "C6")
        place = HardPlace(first, len(notes) - 1, 200.0, ("",))
        assert from_their_runs([place], drilled, notes, FIGURES)[0].first == begin, text
    one, other = HardPlace(0, 5, 200.0, ("",)), HardPlace(7, 11, 200.0, ("",))
    notes = barred("A5:1/4 " + run + bar, 200).notes
    assert from_their_runs([other, one], (), notes, FIGURES) == (other, one)


def test_every_cell_is_begun_by_the_middle_of_the_days() -> None:
    """Many hard bars in four, five and six days: none of the cells is new in the second half."""
    bars = [f"D6 E6 {other} E6 D6 C#6 B5 A5" for other in ("F#6", "G#6", "G6", "A6")]
    for days in (4, 5, 6):
        plan = practise(barred(" ".join(bars), 140), flute(), time=PracticeTime(25, days))
        begun: dict[int, int] = {}
        for day in plan.days:
            for item in day.items:
                begun.setdefault(item.cell, day.day)
        assert len(begun) == len(plan.cells) > 1
        assert max(begun.values()) <= (days + 1) // 2


def test_an_upbeat_stands_before_its_bar_line() -> None:
    """An eighth in a bar of its own, then G6 on one: the drill begins with seven eighths of rest."""
    passage = barred("F#6:1/8 G6:1/4 r:1/8 C#6:1/2 r:1/8 " + "A5:1/2 B5:1/2 " * 3, 300)
    first, *others = passage.notes
    later = [
        replace(note, bar="1" if place < 2 else note.bar, at=note.onset - Fraction(1, 8))
        if note.onset < 1
        else note
        for place, note in enumerate(others)
    ]
    drills = [
        drill
        for _, drill in drills_in(replace(passage, notes=(replace(first, bar="0"), *later)))
        if drill.kind == IN_THE_PART
    ]
    assert drills
    begin = drills[0].passage.notes[0]
    assert begin.pitch.name == "F#6"
    assert begin.onset % 1 == Fraction(7, 8)
