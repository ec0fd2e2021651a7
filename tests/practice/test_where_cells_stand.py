"""Where a cell says it stands: its bars hold its notes, and a drill from another bar names that one."""

from collections.abc import Sequence
from dataclasses import replace

from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES, TABLES, routed

from gripway.model.passage import Note
from gripway.practice.cells.cells import Cell, CellPlace, find_cells
from gripway.practice.cells.change_bars import bars_text, drilled_words, where_words
from gripway.practice.drills.drill_score import drill_title
from gripway.practice.drills.drills import IN_THE_PART
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise


def cell_in(line: str, *pitches: str) -> Cell:
    """The cell of a line that begins with some notes."""
    _, route = routed(barred(line, 150))
    return next(each for each in find_cells(route, FIGURES) if each.pitches[: len(pitches)] == pitches)


def test_the_bars_of_a_cell_hold_all_its_notes() -> None:
    """Bars with the hard change alone are told apart."""
    figure, alone = "E6:1/16 F#6 G6:1/8 r:1/4 A5:1/2 ", "B5:1/16 E6 F#6:1/8 r:1/4 A5:1/2 "
    notes = barred(figure * 2 + alone, 150).notes
    cell = cell_in(figure * 2 + alone, "E6", "F#6", "G6")
    assert where_words(cell, notes) == "bars 1-2; E6 F#6 in bar 3"
    twice = replace(cell, places=(*cell.places, CellPlace("1", 0, whole=False)))
    assert where_words(twice, notes) == "bars 1-2; E6 F#6 in bar 3"


def test_the_bar_of_the_drills_is_told_only_where_they_all_are_of_it() -> None:
    """Of a cell met twice, or whose grace notes are in time; not beside a drill of another bar."""
    figure = "E6:1/16 F#6 G6:1/8 r:1/4 A5:1/2 "
    for line, told in (
        (figure * 2, "drilled as in bar 1"),
        (figure + "B5:1/1 ", ""),
        ("G5:1/4 {(E6 F#6)} G6:1/2 r:1/4 ", "its grace notes in time"),
    ):
        passage = barred(line, 150)
        planned = practise(passage, flute(), time=PracticeTime(cells=1)).cells[0]
        drills = [replace(planned.drills[0], bar="")]
        assert drilled_words(planned.cell, drills, passage.notes) == told
        elsewhere = [*drills, replace(drills[0], bar="2")]
        assert drilled_words(planned.cell, elsewhere, passage.notes) == ""


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


def test_the_first_bars_named_are_those_where_the_change_has_little_time() -> None:
    """In halves in bars 1 and 2, in sixteenths in bar 4: bar 4 is named; bar 1 where that is quick too."""
    slow, quick = "E6:1/2 F#6:1/2 ", "E6:1/16 F#6 G6:1/8 r:1/4 A5:1/2 "
    for line, first, two in (
        (slow * 2 + "G5:1/1 " + quick, "bar 4", "bar 4"),
        (quick + slow + "G5:1/1 " + quick, "bar 1", "bars 1-2"),
    ):
        passage = barred(line, 200)
        cell = cell_in(line, "E6", "F#6")
        named = replace(cell, notes=cell.notes[:2], worst=1, places=_places_of(passage.notes))
        assert bars_text(named, passage.notes, 1) == first
        assert bars_text(named, passage.notes, 2) == two


def _places_of(notes: Sequence[Note]) -> tuple[CellPlace, ...]:
    """Where E6 is in notes."""
    return tuple(CellPlace(note.bar, at) for at, note in enumerate(notes) if note.pitch.name == "E6")
