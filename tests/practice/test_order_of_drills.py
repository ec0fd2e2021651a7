"""The drills of a cell from day to day: when it begins, when its bar comes, what comes after that."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from tests.oracles.passages import barred, played
from tests.oracles.practice import FIGURES, drills_in, find_cells, routed

from gripway.practice.drills.drill_layings import grid_of
from gripway.practice.drills.drill_ranges import in_plain_notes, windows
from gripway.practice.drills.drills import IN_THE_PART
from gripway.practice.plan.cell_work import SIMPLE_KINDS
from gripway.practice.plan.plan import Plan
from gripway.score.writing.bar_filling import fill_bars
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

HIGH = "(D6 E6 F#6 G#6 A6 G#6 F#6 E6) (D6 C#6 B5 A5) G#5 F#5 E5 D5 "
BREAK = "(A4 B4 C5 D5 E5 D5 C5 B4) C5 D5 F5 E5 A4:1/4 "
EASY = "G5:1/4 A5:1/4 B5:1/4 A5:1/4 "


@pytest.fixture(scope="module", params=[(20, 4, 130), (20, 5, 150), (25, 5, 150), (30, 6, 140)])
def plan(request: pytest.FixtureRequest) -> Plan:
    """High notes and the break, hard at these tempos, among easy bars."""
    minutes, days, tempo = request.param
    line = EASY + HIGH + EASY + BREAK + EASY + HIGH + EASY * 2
    return practise(barred(line, tempo), flute(), time=PracticeTime(minutes, days))


def kinds_by_visit(plan: Plan, cell: int) -> list[list[str]]:
    """The kinds of drills of a cell on each day on which it is met."""
    drills = plan.cells[cell].drills
    days = ([drills[item.drill].kind for item in day.items if item.cell == cell] for day in plan.days)
    return [kinds for kinds in days if kinds]


def test_no_cell_begins_on_the_last_two_days(plan: Plan) -> None:
    """The first of them, the hardest, begins on the first day and goes on on the second."""
    assert plan.cells
    for cell in range(len(plan.cells)):
        days = [day.day for day in plan.days if any(item.cell == cell for item in day.items)]
        assert days[0] <= len(plan.days) - 2
        assert cell or days[:2] == [1, 2]


def test_a_cell_is_met_with_two_drills_and_no_day_has_three_holds(plan: Plan) -> None:
    """A hold alone is no beginning."""
    for cell in range(len(plan.cells)):
        assert len(kinds_by_visit(plan, cell)[0]) >= 2
    for day in plan.days:
        assert [plan.cells[item.cell].drills[item.drill].kind for item in day.items].count("hold") <= 2


def test_back_into_the_bar_comes_by_the_second_day_and_nothing_simpler_after_it(plan: Plan) -> None:
    """The last of its cell on its day; what comes for the first time later is a rhythm or the run."""
    for cell, planned in enumerate(plan.cells):
        visits = kinds_by_visit(plan, cell)
        if IN_THE_PART not in [drill.kind for drill in planned.drills]:
            continue
        begins = next(number for number, kinds in enumerate(visits) if IN_THE_PART in kinds)
        assert begins <= 1
        met: set[str] = set()
        for number, kinds in enumerate(visits):
            assert IN_THE_PART not in kinds[:-1]
            assert number <= begins or not ({*kinds} - met) & {*SIMPLE_KINDS}
            met |= {*kinds}


def test_one_finger_has_no_hold() -> None:
    """There is nothing to look ahead to."""
    plan = practise(barred("F5 G5 " * 16, 200), flute(), time=PracticeTime(20, 4))
    kinds = {drill.kind for each in plan.cells for drill in each.drills if len(each.cell.change.movers) == 1}
    assert kinds
    assert "hold" not in kinds


def test_to_and_fro_is_for_what_goes_both_ways() -> None:
    """A change the part never takes back, or only in longer notes, is not drilled so."""
    slow = "E6:1/16 F#6 r:1/1 F#6:1/8 E6"
    for line, both in (
        ("E6 F#6 G6", False),
        ("E6 F#6 E6", True),
        ("E6 F#6 r:1/1 F#6 E6", True),
        (slow, False),
    ):
        found = [drill for cell, drill in drills_in(played(line, 130)) if cell.pitches[:2] == ("E6", "F#6")]
        assert found
        assert any(drill.kind == "pair" for drill in found) is both, line


def test_a_drill_in_the_part_ends_on_no_note_off_the_beat_after_a_rest() -> None:
    """A change alone between rests is drilled as it stands there, without the upbeat to what follows."""
    bar = "r:1/2 E6:1/16 F#6:1/4 r:3/16"
    for line in (bar, "r:1/2 E6:1/16 F#6:1/4 r:1/16 C#5:1/8 tr D5:1/1"):
        drills = [drill for _, drill in drills_in(barred(line, 150)) if drill.kind == IN_THE_PART]
        assert drills
        for drill in drills:
            assert [note.pitch.name for note in drill.passage.notes][-2:] == ["E6", "F#6"]


def test_no_two_groups_of_a_bar_differ_by_one_note_alone() -> None:
    """Beat, half and bar of a run are printed where each adds two notes or more."""
    _, route = routed(barred("(D6 E6 F#6 G#6 A6 G#6 F#6 E6 D6 C#6 B5 A5) G#5:1/4", 140))
    for cell in find_cells(route, FIGURES):
        groups = windows(route.notes, cell, grid_of(route.notes, cell), FIGURES)
        sizes = [last - first for first, last in groups]
        assert all(more - fewer > 1 for fewer, more in pairwise(sizes))


def test_a_cell_that_is_hardest_in_grace_notes_is_met_in_the_run() -> None:
    """The bar is that of the plain notes, and where the part has it in grace notes only theirs."""
    ending = "G5:1/4 {(E6 F#6)} G6:1/2 r:1/4 "
    run = "(B5:1/8 C#6 D6 E6 F#6 G6) A5:1/4 "
    for line, plain in ((ending + run, True), (ending + ending, False)):
        _, route = routed(barred(line, 150))
        cell = next(each for each in find_cells(route, FIGURES) if each.pitches[:2] == ("E6", "F#6"))
        assert cell.notes[0].note.grace
        found = in_plain_notes(route.notes, cell, FIGURES)
        assert found.pitches == cell.pitches
        assert found.notes[0].note.grace is not plain


def test_the_ending_of_a_trill_stands_before_the_bar_line() -> None:
    """As in the part: grace notes that end a bar there end it in the drill."""
    line = barred("D#6:1/1 {(C#6 D#6)} E6:1/1 B5:1/1 E6:1/1 {(C#6 D#6)} E6:1/1", 200)
    one = Fraction(1)
    plain = [replace(note, metre=(4, 4)) for note in line.notes]
    ending = [replace(note, at=one, bar=str(int(note.bar) - 1)) if note.grace else note for note in plain]
    drills = drills_in(replace(line, notes=tuple(ending)))
    found = [drill for _, drill in drills if any(note.grace for note in drill.passage.notes)]
    assert found
    for drill in found:
        bars = fill_bars(drill.passage.notes, Fraction(*drill.metre))
        begins = [bar[0].grace for bar in bars if bar]
        assert not any(begins)
