"""Where there is time: few drills and days, no cell beside harder ones, and no long ladders for two notes."""

from dataclasses import replace

from tests.oracles.passages import barred, played
from tests.oracles.practice import FIGURES, TABLES, drills_in

from gripway.practice.drills.drill_minutes import tempos_of
from gripway.practice.drills.drills import IN_THE_PART, grips_taken
from gripway.practice.plan.cell_work import work_of
from gripway.practice.plan.easy_cells import is_least, is_light, lightened
from gripway.practice.plan.plan import Plan
from gripway.practice.schedule.schedule_rules import Schedule, frame_of
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

EASY = "G5:1/4 A5 B5 A5 "
LEAST = "A5:1/4 (E6:1/16 F#6 D6:1/8) A5:1/4 r:1/4 "
HARD = "A5:1/4 (G6:1/16 A6 B6:1/8) A5:1/4 r:1/4 "


def plan_of(line: str, tempo: float) -> Plan:
    """Half an hour on five days."""
    return practise(barred(line, tempo), flute(), time=PracticeTime(30, 5))


def test_a_change_with_time_is_a_cell_only_where_none_is_harder() -> None:
    """One drill and its bar on two days; beside a harder one it is worked on in its bar."""
    alone = plan_of(EASY * 4 + LEAST + EASY * 4, 84)
    assert alone.cells
    for number, planned in enumerate(alone.cells):
        assert is_least(planned.cell, FIGURES)
        assert len(planned.drills) <= FIGURES.least_cell_drills
        days = [day.day for day in alone.days if any(item.cell == number for item in day.items)]
        assert len(days) == FIGURES.least_cell_days
    both = plan_of(EASY * 4 + LEAST + HARD + EASY * 4, 84)
    assert both.cells
    assert not any(is_least(planned.cell, FIGURES) for planned in both.cells)
    assert any(is_least(cell, FIGURES) for cell in both.left)


def test_one_finger_alone_has_few_drills() -> None:
    """However fast it goes."""
    plan = plan_of(("(A5:1/16 Bb5 A5 Bb5) A5:1/4 " + "D5:1/2 ") * 4, 300)
    found = [planned for planned in plan.cells if len(planned.cell.change.movers) == 1]
    assert found
    assert all(len(planned.drills) <= FIGURES.least_cell_drills for planned in found)


def test_what_is_in_time_goes_into_its_music_at_once() -> None:
    """No hold and no stop: the notes around it, then its bar, both on the first day."""
    plan = plan_of(EASY * 4 + LEAST + EASY * 4, 84)
    (planned,) = plan.cells
    assert [drill.kind for drill in planned.drills] == ["around", IN_THE_PART]
    assert [item.drill for item in plan.days[0].items] == [0, 1]


def test_back_into_the_bar_waits_for_the_second_day_of_a_cell_that_is_met() -> None:
    """Where hold and stop alone lead to it."""
    (planned,) = plan_of(EASY * 4 + LEAST + EASY * 4, 140).cells
    kinds = ("hold", "stop", IN_THE_PART)
    planned = replace(planned, drills=tuple(drill for drill in planned.drills if drill.kind in kinds))
    work = work_of(planned, frame_of(30, 5, "blocked", FIGURES), 30, TABLES)
    assert [drill.kind for drill in planned.drills] == [*kinds]
    assert [work.goes_on(visit, 2) for visit in (0, 1)] == [False, True]


def test_one_finger_in_the_ending_of_a_hard_trill_is_no_cell() -> None:
    """The trill has it."""
    plan = plan_of(EASY * 4 + "trb Ab5:1/4 {(G5 Ab5)} G5:1/4 r:1/2 " + EASY * 4, 84)
    assert [each.cell.pitches for each in plan.cells] == [("Ab5", "Bb5")]
    assert not any(
        cell.pitches == ("G5", "Ab5") for cell in (*(each.cell for each in plan.cells), *plan.left)
    )


def test_a_cell_of_two_notes_has_no_long_ladder() -> None:
    """Five tempos on a long day, where one of three notes has more."""
    for text, two in (("(E6:1/16 F#6 E6 F#6)", True), ("(D6:1/16 E6 F#6 G#6 A6)", False)):
        drills = [drill for cell, drill in drills_in(played(text, 150)) if (len(cell.notes) == 2) is two]
        most = max(tempos_of(drill, 40, TABLES) for drill in drills if not drill.free)
        assert (most <= FIGURES.two_note_tempos) is two


def test_a_drill_that_is_mostly_one_held_note_has_few_tempos() -> None:
    """As many as a high one; where the same note is short it has more."""
    for long, few in (("3/4", True), ("1/16", False)):
        line = f"(B5:1/16 C#6 D6:{long} E6:1/8) D6:1/4"
        drills = [drill for _, drill in drills_in(played(line, 150)) if drill.kind == "around"]
        assert drills
        assert (max(tempos_of(drill, 40, TABLES) for drill in drills) <= FIGURES.high_tempos) is few


def test_a_new_grip_is_for_the_notes_of_its_cell() -> None:
    """Elsewhere a note of its pitch is as in the route."""
    line = "(D6:1/32 C6 B5 C6) C6:1/4 D6:1/4 "
    for cell, _ in drills_in(played(line * 2, 150)):
        drills = [drill for other, drill in drills_in(played(line * 2, 150)) if other.key == cell.key]
        new = {
            (each.pitch, each.grip) for each in cell.candidates if not each.usual and each.case != "standard"
        }
        assert not new & {*grips_taken(drills, cell).items()}


def test_few_fingers_are_not_held_before_other_drills() -> None:
    """That of many fingers stays, and one that is all its day has."""
    (planned, *_) = practise(played("(E6 F#6 E6 F#6)", 150), flute(), time=PracticeTime(20, 3)).cells
    stop = planned.drills[0]
    planned = replace(planned, drills=(replace(stop, kind="hold"), replace(stop, kind="stop")))
    hold, other = (0, 0), (0, 1)
    found = Schedule(((hold, other), (hold,)), 0, 0)
    fingers = len(planned.cell.change.movers)
    for least, both in ((fingers, (hold, other)), (fingers + 1, (other,))):
        light = lightened(found, [planned], replace(FIGURES, hold_least_fingers=least))
        assert light.days == (both, (hold,))


def test_an_easy_cell_has_its_other_drills_once_and_few_days() -> None:
    """Beside its bar nothing comes again, and at its tempo it waits for the last of its days."""
    plan = plan_of(EASY * 4 + LEAST + EASY * 4, 96)
    (planned,) = plan.cells
    assert is_light(planned, FIGURES)
    assert not is_least(planned.cell, FIGURES)
    there = [[item.drill for item in day.items] for day in plan.days if day.items]
    others = [drill for day in there for drill in day if planned.drills[drill].kind != IN_THE_PART]
    assert len(others) == len({*others})
    assert len(there) <= 3
    assert plan.days[-1].items
