"""One bar has one ladder: what a run or another drill has whole, no drill in the part has too."""

from tests.oracles.passages import barred

from gripway.practice.drills.drills import IN_THE_PART, Drill
from gripway.practice.drills.last_stages import stages_of
from gripway.practice.drills.whole_bars import one_ladder_a_bar
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

EASY = "G5:1/4 A5:1/4 B5:1/4 A5:1/4 "
RUN = "(B4:1/16 C5 D5 E5 A5 B5 C6 D6 E6 F#6 G6 A6) B6:1/4 "


def in_the_part() -> list[tuple[Drill, ...]]:
    """The drills in the part of the cells of a run, each cell with its own alone."""
    plan = practise(barred(EASY + RUN + EASY, 100), flute(), time=PracticeTime(40, 6, cells=3))
    return [tuple(drill for drill in each.drills if drill.kind == IN_THE_PART) for each in plan.cells]


def last_notes(drill: Drill) -> tuple[str, ...]:
    """The pitches of the last stage of a drill."""
    return tuple(note.pitch.name for note in drill.passage.notes[stages_of(drill)[-1].start :])


def test_no_two_drills_of_a_plan_have_the_same_bar_whole() -> None:
    """The hardest cell goes up to it, the others stop before it."""
    drills = [drill for own in in_the_part() for drill in own]
    assert len(drills) > 1
    ends = [last_notes(drill) for drill in drills]
    assert len({*ends}) == len(ends)
    assert [drill.in_bar for drill in drills] == [True, *[False] * (len(drills) - 1)]


def test_a_run_that_leads_keeps_its_bar() -> None:
    """Every drill in the part stops before it, but one whose only stage it is."""
    first = in_the_part()[0]
    (kept,) = one_ladder_a_bar([first], barred(RUN, 100).notes)
    stages = [len(stages_of(drill)) for drill in (*first, *kept)]
    assert stages[0] == stages[1] + 1
    assert not kept[0].in_bar
    (again,) = one_ladder_a_bar([kept], kept[0].passage.notes)
    assert again == kept
    assert all(to < len(kept[0].passage.notes) == len(kept[0].grips) for to in kept[0].changes)
