"""What a day has of drills that were left behind, on the first day at the tempo, and on the last."""

from dataclasses import replace

from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES, TABLES

from gripway.model.passage import Ornament
from gripway.model.pitch import Pitch
from gripway.practice.plan.cell_work import signs_of
from gripway.practice.plan.course import PLACE, course_before
from gripway.practice.plan.day_items import Climbed
from gripway.practice.plan.days import DayContext, _Begun, _DayMaker
from gripway.practice.plan.plan import Plan
from gripway.practice.schedule.schedule_rules import CellWork, Schedule, TimeFrame, may_be_new
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise
from gripway.tasks.scores import notes

GRACES = "{D6 C6 B5} C6:1/4 G5 A5 G5 A5 G5:1/4 A5:1/4 {C6 Bb5 A5} Bb5:1/4 A5:1/4 G5:1/4 G5:1/4 "


def graced() -> Plan:
    """A cell with a drill that ends below where its ladder begins."""
    return practise(barred(GRACES * 3, 132), flute(), time=PracticeTime(20, 5))


def maker_of(plan: Plan) -> _DayMaker:
    """Makes days of a plan's cells, which no day was found for."""
    notes = plan.route.passage.notes
    found = Schedule(((),) * 5, 0, 0)
    return _DayMaker(found, plan.cells, 20, 1, TABLES, DayContext(notes, (), 5.0))


def test_no_drill_comes_again_that_ends_below_where_its_cell_begins() -> None:
    """One up to 84 where the ladder begins at 92; it comes where it goes on to the goal."""
    plan = graced()
    planned = plan.cells[0]
    last = len(planned.drills) - 1
    begun = _Begun((Climbed(),), (1,), {}, course_before(1, (), TABLES), met=frozenset({(0, 1), (0, last)}))
    assert planned.drills[1].fastest < planned.ladder.start
    assert [*maker_of(plan)._known(2, begun, [(0, 0)])] == [(0, last)]
    quicker = (
        planned.drills[0],
        replace(planned.drills[1], fastest=planned.ladder.goal),
        *planned.drills[2:],
    )
    maker = replace(maker_of(plan), cells=(replace(planned, drills=quicker),))
    assert [*maker._known(2, begun, [(0, 0)])] == [(0, 1), (0, last)]


def test_the_first_day_at_the_tempo_is_not_bare() -> None:
    """Half empty and without a drill, after a day below the tempo."""
    plan = graced()
    maker = maker_of(plan)
    day = next(day for day in plan.days if not day.items)
    assert day.passage
    assert day.passage.share == 1
    below = replace(day, passage=replace(day.passage, share=0.93))
    assert maker._is_bare(day, [below])
    assert not maker._is_bare(day, [day])
    assert not maker._is_bare(below, [below])
    assert not maker._is_bare(plan.days[0], [below])
    assert not replace(maker, minutes=day.minutes)._is_bare(day, [below])


def test_a_bare_day_has_what_is_sure_in_its_bar() -> None:
    """Other days have not."""
    plan = graced()
    last = len(plan.cells[0].drills) - 1
    course = course_before(1, (), TABLES)
    begun = _Begun((Climbed(6, 2),), (3,), {}, course, met=frozenset({(0, last)}))
    assert maker_of(plan)._chosen(3, begun, bare=True) == [(0, last)]
    assert maker_of(plan)._chosen(3, begun) == []


def test_only_the_music_of_a_trill_is_new_on_the_last_day() -> None:
    """Back into the bar is not, whatever leads to it."""
    frame = TimeFrame(days=4, slots=40, rest=1, spot=20, interleaved=False)
    trill = CellWork(1, (2, 2, 2), music=frozenset({1, 2}))
    assert [may_be_new(drill, 3, trill, frame) for drill in range(3)] == [False, True, True]
    assert not may_be_new(2, 3, replace(trill, bar=2), frame)
    assert may_be_new(2, 2, replace(trill, bar=2), frame)


def test_a_short_trill_may_have_one_more_upper_note() -> None:
    """Once it is light."""
    assert "two upper notes" in TABLES.drills["figure"].instruction


def test_a_hard_bar_that_was_at_its_tempo_waits_for_the_last_day() -> None:
    """It has been clean there on the second day."""
    easy = "G5 A5 B5 A5 " * 4
    line = easy * 2 + "C5 D5 C5 D5 E5 D5 C5 D5 " * 2 + easy + "C#6 B5 E6 F#6 E6 D6 E6 F#6 " * 2 + easy
    plan = practise(barred(line, 96), flute(), time=PracticeTime(20, 5, cells=1))
    shares = [[each.share for each in day.studies if each.way == PLACE] for day in plan.days]
    assert [len(each) for each in shares] == [1, 1, 0, 0, 1]
    assert shares[1] == [1]


def test_notes_around_a_change_in_graces_go_on_to_the_note_of_these() -> None:
    """C6 with D6 C6 B5 before it, from the C6 before."""
    drill = next(each for each in graced().cells[0].drills if each.kind == "around")
    assert [note.pitch.name for note in drill.passage.notes] == ["G5", "D6", "C6", "B5", "C6"]


def test_two_trills_begin_on_two_days() -> None:
    """To and fro there is half as much to read as there are notes: a second trill need not wait for long."""
    line = notes("D5:1/1 r:1/4 B5:1/4 Ab5:1/1 r:1/4 B5:1/1 D6:1/1 r:1/4 D5:1/2 E5:1/2", tempo=126)
    played = list(line.notes)
    for place, upper in ((2, "Bb5"), (4, "E6")):
        played[place] = replace(played[place], ornament=Ornament("trill", upper=Pitch.parse(upper)))
    plan = practise(replace(line, notes=tuple(played)), flute(), time=PracticeTime(30, 7, cells=2))
    assert all(each.cell.trill for each in plan.cells)
    assert {item.cell for day in plan.days[:2] for item in day.items} == {0, 1}
    made = next(each for each in plan.cells[0].drills if each.kind == "even")
    assert signs_of(made, FIGURES) == FIGURES.drill_signs + len(made.passage.notes) // 2


def test_what_goes_too_fast_to_say_is_said_slowly_before_it_is_played_with_the_click() -> None:
    """Nobody says eight syllables a second: first slowly, the click when it is played; else without it."""
    told = TABLES.ways["rhythm"].instruction
    assert told.index("slowly") < told.index("play it with the click") < told.index("Leave the click out")
