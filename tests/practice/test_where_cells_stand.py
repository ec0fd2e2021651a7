"""Where a cell says it stands: its bars hold its notes, and a drill from another bar names that one."""

from dataclasses import replace

from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES, TABLES, routed

from gripway.practice.cells.cells import Cell, CellPlace, find_cells
from gripway.practice.cells.change_bars import graces_words, where_words
from gripway.practice.drills.drill_score import drill_title
from gripway.practice.drills.drills import IN_THE_PART
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise


def cell_in(line: str, *pitches: str) -> Cell:
    """The cell of a line that begins with some notes."""
    _, route = routed(barred(line, 150))
    return next(each for each in find_cells(route, FIGURES) if each.pitches[: len(pitches)] == pitches)


def test_the_bars_of_a_cell_hold_all_its_notes() -> None:
    """Bars with the hard change alone are told apart, and backwards are those that have all of it."""
    figure, alone, back = (
        "E6:1/16 F#6 G6:1/8 r:1/4 A5:1/2 ",
        "B5:1/16 E6 F#6:1/8 r:1/4 A5:1/2 ",
        "G6:1/16 F#6 E6:1/8 r:1/4 A5:1/2 ",
    )
    cell = cell_in(figure * 2 + alone + back, "E6", "F#6", "G6")
    where = where_words(
        replace(cell, back=(CellPlace("4", 12),)), barred(figure * 2 + alone + back, 150).notes
    )
    assert where == "bars 1-2; E6 F#6 in bar 3; backwards bar 4; drilled from bar 1"
    twice = replace(cell, places=(*cell.places, CellPlace("1", 0, whole=False)))
    assert where_words(twice, barred(figure * 2 + alone + back, 150).notes) == where
    assert "backwards" not in where_words(
        replace(cell, back=(CellPlace("3", 8),)), barred(figure * 2 + alone, 150).notes
    )


def test_graces_are_told_as_written_out_only_where_they_are() -> None:
    """Not on a day that has them small, nor of a cell without any."""
    graced, plain = (
        cell_in(line, "E6", "F#6") for line in ("G5:1/4 {(E6 F#6)} G6:1/2 r:1/4", "(E6:1/16 F#6 G6) A5:13/16")
    )
    assert graces_words(graced, True, ["1.5"]) == "graces written out but in 1.5"
    assert graces_words(graced, True, []) == "graces written out"
    assert graces_words(graced, False, ["1.5"]) == graces_words(plain, True, []) == ""


def test_a_drill_from_another_bar_than_its_cell_says_so() -> None:
    """In the part a change of grace notes is drilled from plain ones where it is hard there as well."""
    ending = "G5:1/4 {(E6 F#6)} G6:1/2 r:1/4 "
    for value, bar in (("1/16", "2"), ("1/8", "")):
        run = f"(B5:1/8 D6:1/8 E6:{value} F#6 G6:1/8) A5:1/4 "
        planned = practise(barred(ending + run, 150), flute(), time=PracticeTime(cells=1)).cells[0]
        assert planned.cell.pitches[:2] == ("E6", "F#6")
        (drill,) = (drill for drill in planned.drills if drill.kind == IN_THE_PART)
        assert drill.bar == bar
        assert drill_title(drill, TABLES) == f"Back into the bar{f' ({bar})' * bool(bar)}"
        assert not any(each.bar for each in planned.drills if each is not drill)
