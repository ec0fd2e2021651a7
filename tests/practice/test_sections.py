"""Sections: the bars that need them, where the cell is first."""

from dataclasses import replace

import pytest
from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES

from gripway.model.passage import Passage
from gripway.practice.plan.course import SECTIONS, Course, Section, mostly_in
from gripway.practice.sections.day_sections import choice_of, wanted_in
from gripway.practice.ways.sections import needing, needs_of, pieces, run_of
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

UP = "(E6 F#6 G#6 A6) B5 A5 G#5 F#5 E5 F#5 G#5 A5 B5 C#6 D6 C#6"


RUN_OF_FOUR = " ".join(f"{a} B5 C6 D6 E6 D6 C6 B5 " * 2 for a in ("A5", "G5", "F5", "E5"))
OTHER_FOUR = " ".join(f"{a} E6 F6 G6 F6 E6 C6 D6 " * 2 for a in ("A5", "G5", "F5", "E5"))
"""Four bars each, no two of them the same."""


@pytest.fixture(scope="module")
def passage() -> Passage:
    """Four bars, the hard changes in the last."""
    easy = "A4 A4 B4 B4 A4 A4 G4 G4 A4 A4 B4 B4 A4 A4 G4 G4"
    return barred(f"{easy} {easy} {easy} {UP}", 132)


def test_sections_are_of_the_bars_that_need_them(passage: Passage) -> None:
    """Quick bars and hard changes with their phrase; what is read at sight or repeated needs none."""
    still = "A4:1/1"
    notes = barred(f"{still} " * 5 + f"{UP} {UP} {UP} {UP} {UP} " + f"{still} " * 5, 132).notes
    bars = pieces(notes)
    needs = needs_of(bars, [], notes, FIGURES)
    assert needing(needs, bars, notes) == [(5, 6, 7, 8, 9)]
    six = "A4:1/2 B4:1/2 C5:1/2 B4:1/2 G4:1/2 A4:1/2 D5:1/2 C5:1/2 B4:1/2 C5:1/2 A4:1/2 G4:1/2"
    slow = barred(six, 100).notes
    found = pieces(slow)
    assert needs_of(found, [], slow, FIGURES) == [0] * 6
    assert needing([0] * 6, found, slow) == []
    assert needing(needs_of(found, [9], slow, FIGURES), found, slow) == []
    assert needing(needs_of(found, [3, 9], slow, FIGURES), found, slow) == [tuple(range(6))]
    same = barred(" ".join(["A5 A5 A5 A5"] * 24), 132).notes
    assert needs_of(pieces(same), [], same, FIGURES) == [0] * 6


def test_the_first_sections_of_a_plan_hold_its_cell(passage: Passage) -> None:
    """In ten minutes, which do not go through all bars."""
    plan = practise(passage, flute(), time=PracticeTime(16, 4))
    study = next(each for day in plan.days for each in day.studies if each.way == "sections")
    assert study.first <= plan.cells[0].cell.place <= study.last


def test_a_bar_that_comes_again_is_no_more_notes() -> None:
    """Two bars that are twice the same six notes are no sections; with other notes in one they are."""
    bar, other = "A5:1/8 B5:1/8 C6:1/8 B5:1/8 A5:1/8 G5:3/8", "D6:1/8 E6:1/8 F6:1/8 E6:1/8 D6:1/8 C6:3/8"
    for second, wanted in ((bar, []), (other, [(0, 1)])):
        notes = barred(f"{bar} {second} r:4/1 A4:1/1", 120).notes
        found = pieces(notes)
        assert needing(needs_of(found, [], notes, FIGURES), found, notes) == wanted


def test_sections_part_at_a_mark_after_a_rest() -> None:
    """Three bars, then f after a rest of a beat: none of the next phrase is joined to them."""
    bar = "A5:1/8 B5:1/8 C6:1/8 B5:1/8 A5:1/8 G5:1/8 F5:1/8 E5:1/8"
    ends = "A5:1/8 B5:1/8 C6:1/8 B5:1/8 A5:1/4 r:1/4"
    for mark, wanted in (("f", (0, 1, 2)), ("", (0, 1, 2, 3, 4, 5, 6))):
        notes = barred(f"p {bar} {bar} {ends} {mark} {bar} {bar} {bar} {bar}", 120).notes
        assert run_of(range(7), 1, 4, pieces(notes), notes) == wanted


def test_sections_go_from_rest_to_rest() -> None:
    """Five bars, a beat's rest, five bars: each phrase is taken whole, though four bars are asked for."""
    bar = "A5:1/8 B5:1/8 C6:1/8 B5:1/8 A5:1/8 G5:1/8 F5:1/8 E5:1/8"
    ends = "A5:1/8 B5:1/8 C6:1/8 B5:1/8 A5:1/4 r:1/4"
    notes = barred(" ".join([bar, bar, bar, bar, ends, bar, bar, bar, bar, bar]), 120).notes
    found = pieces(notes)
    assert run_of(range(10), 1, 4, found, notes) == (0, 1, 2, 3, 4)
    assert run_of(range(10), 6, 4, found, notes) == (5, 6, 7, 8, 9)
    assert run_of(range(10), 0, 10, found, notes) == tuple(range(10))


def test_sections_end_where_another_metre_begins() -> None:
    """Four bars of each; a single bar of another metre parts nothing."""
    bar = "A5:1/8 B5:1/8 C6:1/8 B5:1/8 A5:1/8 G5:1/8 F5:1/8 E5:1/8"
    notes = [replace(note, metre=(4, 4)) for note in barred(" ".join([bar] * 10), 200).notes]

    def groups(*others: int) -> list[tuple[int, ...]]:
        found = tuple(replace(n, metre=(2, 2)) if int(n.bar) in others else n for n in notes)
        bars = pieces(found)
        return needing(needs_of(bars, [], found, FIGURES), bars, found)

    assert groups() == [tuple(range(10))]
    assert groups(*range(6, 11)) == [(0, 1, 2, 3, 4), (5, 6, 7, 8, 9)]
    assert groups(6) == [tuple(range(10))]


def test_sections_of_a_day_do_not_lie_over_each_other() -> None:
    """On no day of a plan with much time does half of a row come in another."""
    bar = "A5:1/8 B5:1/8 C6:1/8 B5:1/8 A5:1/8 G5:1/8 F5:1/8 E5:1/8"
    part = barred(f"{' '.join([bar] * 6)} r:2/1 {' '.join([bar] * 7)} r:9/1 {' '.join([UP] * 5)}", 132)
    for day in practise(part, flute(), time=PracticeTime(30, 6)).days:
        rows = [(study.first, study.last) for study in day.studies if study.way == "sections"]
        assert not any(mostly_in(one, other) for one in rows for other in rows if one != other)


def test_the_same_bars_elsewhere_are_known_from_one_section() -> None:
    """Four bars of a run that come again after a rest need no sections of their own."""
    notes = barred(f"{RUN_OF_FOUR} r:9/1 {RUN_OF_FOUR} r:9/1 {OTHER_FOUR}", 120).notes
    size = len(barred(RUN_OF_FOUR, 120).notes)
    course = Course(sections=(Section(0, size - 1, 1.0, 1),), rows=((0, size - 1),), used={SECTIONS: 1})
    wanted = wanted_in(notes, (), None, FIGURES)
    choice = choice_of(notes, wanted, course, (), 3, lambda first, last: 1.0, FIGURES)
    assert choice.unworked() == [(8, 9, 10, 11)]
