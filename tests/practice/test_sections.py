"""Sections: where the cell is first, no bar left out."""

import pytest
from tests.oracles.passages import barred

from gripway.model.passage import Passage
from gripway.practice.ways.sections import piece_of, pieces, run_of
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

UP = "(E6 F#6 G#6 A6) B5 A5 G#5 F#5 E5 F#5 G#5 A5 B5 C#6 D6 C#6"


@pytest.fixture(scope="module")
def passage() -> Passage:
    """Four bars, the hard changes in the last."""
    easy = "A4 A4 B4 B4 A4 A4 G4 G4 A4 A4 B4 B4 A4 A4 G4 G4"
    return barred(f"{easy} {easy} {easy} {UP}", 132)


def test_sections_begin_where_the_cell_is_and_leave_no_bar_out(passage: Passage) -> None:
    """The pieces with it come first, then the others; from the end it is the last."""
    notes = passage.notes
    bars = pieces(notes)
    wanted = piece_of(bars, len(notes) - 1, notes)
    assert (len(bars), wanted) == (4, 3)
    first = run_of((0, 1, 2, 3), wanted, 2, bars, notes)
    assert (first, run_of((0, 1), wanted, 2, bars, notes)) == ((2, 3), (0, 1))
    assert run_of((0, 1, 2, 3), 3, 3, bars, notes, backward=True) == (1, 2, 3)


def test_the_first_sections_of_a_plan_hold_its_cell(passage: Passage) -> None:
    """In ten minutes, which do not go through all bars."""
    plan = practise(passage, flute(), time=PracticeTime(16, 4))
    study = next(each for day in plan.days for each in day.studies if each.way == "sections")
    assert study.first <= plan.cells[0].cell.place <= study.last


def test_sections_go_from_rest_to_rest() -> None:
    """Three bars, a beat's rest, three bars: each phrase is taken whole, though four bars are asked for."""
    bar = "A5:1/8 B5:1/8 C6:1/8 B5:1/8 A5:1/8 G5:1/8 F5:1/8 E5:1/8"
    ends = "A5:1/8 B5:1/8 C6:1/8 B5:1/8 A5:1/4 r:1/4"
    notes = barred(" ".join([bar, bar, ends, bar, bar, bar]), 120).notes
    found = pieces(notes)
    assert run_of(range(6), 1, 4, found, notes) == (0, 1, 2)
    assert run_of(range(6), 5, 4, found, notes, backward=True) == (3, 4, 5)
    assert run_of(range(6), 0, 6, found, notes) == (0, 1, 2, 3, 4, 5)
