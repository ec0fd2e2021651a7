"""What is mastered is not drilled again and again; what is still to be met comes in time."""

from itertools import pairwise

import pytest
from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES, TABLES
from tests.practice.account import faults_of

from gripway.effort.load import LATE
from gripway.practice.drills.drills import IN_THE_PART
from gripway.practice.plan.cell_work import FIRST_KINDS, MEETING_VISITS
from gripway.practice.plan.course import PLACE
from gripway.practice.plan.plan import Plan
from gripway.practice.ways.fitting_bars import TONGUES
from gripway.practice.ways.whole_passage import Stretch, instruction_of
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

EASY = "G5:1/4 A5:1/4 B5:1/4 A5:1/4 "
HARD = "(E6 F#6 E6 F#6) E6:1/4 D6:1/2 "
TONGUED = "G5 G5 A5 A5 B5 B5 A5 A5 G5 G5 A5 A5 B5 B5 A5 A5 "


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Seven days for a change that is at its tempo after two."""
    return practise(barred(EASY * 6 + HARD + EASY * 5, 100), flute(), time=PracticeTime(30, 7, cells=1))


def test_a_cell_that_is_sure_comes_back_in_the_part_alone(plan: Plan) -> None:
    """A day at its goal, then its last drill at its last tempos, not on two days running."""
    (planned,) = plan.cells
    at_goal, visits, sure = 0, 0, []
    for day in plan.days:
        if at_goal >= FIGURES.sure_days:
            assert all(len(item.steps) <= FIGURES.sure_tempos for item in day.items)
        if at_goal >= FIGURES.sure_days and visits >= MEETING_VISITS:
            assert {item.drill for item in day.items} <= {len(planned.drills) - 1}
            sure += [day.day] * bool(day.items)
        visits += bool(day.items)
        at_goal += any(
            item.end >= planned.ladder.goal and planned.drills[item.drill].kind not in FIRST_KINDS
            for item in day.items
        )
    assert sure
    assert all(other - one > 1 for one, other in pairwise(sure))
    assert sure[-1] == plan.days[-1].day
    assert not [*faults_of(plan)]


def test_what_has_no_time_to_spare_comes_on_the_day_after_it_was_at_its_goal() -> None:
    """Once more in its bar, where half of the day is free."""
    hard = "(D6 C6 B5 C6) E6:1/4 D6:1/2 " + EASY + "(E6 F#6 G#6 A6) E6:1/4 D6:1/2 "
    plan = practise(barred(EASY * 4 + hard + EASY * 4, 176), flute(), time=PracticeTime(20, 5))
    late = [number for number, planned in enumerate(plan.cells) if planned.cell.load > LATE]
    assert len(late) > 1
    for number in late:
        planned = plan.cells[number]
        ends = [max((item.end for item in day.items if item.cell == number), default=0) for day in plan.days]
        first = next(at for at, end in enumerate(ends) if end >= planned.ladder.goal)
        after = {item.drill for item in plan.days[first + 1].items if item.cell == number}
        assert any(planned.drills[drill].kind == IN_THE_PART for drill in after)
    assert not [*faults_of(plan)]


@pytest.mark.parametrize(("minutes", "most"), [(30, 10), (60, 15)])
def test_no_cell_has_more_than_a_quarter_of_a_day(minutes: int, most: float) -> None:
    """Ten minutes on days that are not long."""
    plan = practise(barred(EASY + HARD * 3, 160), flute(), time=PracticeTime(minutes, 4, cells=1))
    for day in plan.days:
        assert sum(item.minutes for item in day.items) <= most


def test_a_hard_bar_goes_on_near_where_it_ended() -> None:
    """No more than two notches below; one that is not really hard is left alone once it is sure."""
    line = (EASY + HARD) * 3 + "(F#6 G#6 A6 G#6) A6:3/4 " + EASY * 4
    plan = practise(barred(line, 132), flute(), time=PracticeTime(30, 6, cells=1))
    worked: dict[int, float] = {}
    sure: dict[int, int] = {}
    for day in plan.days:
        for study in (study for study in day.studies if study.way == PLACE):
            lowest = study.share / (1 + FIGURES.notch_share) ** ((study.tempos - 1) * study.stride)
            at = worked.get(study.first, 0.0)
            assert lowest >= at / (1 + FIGURES.notch_share) ** (FIGURES.back_notches + 0.6)
            assert not (study.nearly and sure.get(study.first, 0) >= FIGURES.sure_days)
            worked[study.first] = max(at, study.share)
            sure[study.first] = sure.get(study.first, 0) + (study.share >= 1)
    assert worked


@pytest.mark.parametrize(("minutes", "days"), [(15, 4), (20, 5)])
def test_all_bars_are_met_by_the_last_day_but_one(minutes: int, days: int) -> None:
    """In sections, of a passage that is no more than a day can hold, each of its bars another."""
    easy = (
        EASY.replace("B5", high).replace("G5", low)
        for low in ("G5", "F5")
        for high in ("B5", "C6", "D6", "E6", "F6")
    )
    music = "".join(bar + HARD for bar in easy)
    plan = practise(barred(music, 132), flute(), time=PracticeTime(minutes, days))
    met: set[int] = set()
    for study in (study for day in plan.days[:-1] for study in day.studies):
        if study.way in ("sections", PLACE):
            met |= {*range(study.first, study.last + 1)}
    assert met == {*range(len(plan.route.passage.notes))}


def test_the_tongue_gets_to_the_tempo_of_the_part() -> None:
    """By the last day but one, as the passage does on the last."""
    plan = practise(barred(TONGUED * 6 + HARD, 96), flute(), time=PracticeTime(20, 5))
    last = plan.days[-1].passage
    assert last
    assert last.share == 1
    shares = [study.share for day in plan.days for study in day.studies if study.way in TONGUES]
    assert shares == sorted(shares)
    assert shares[-1] == 1


def test_an_easy_passage_is_not_played_on_and_on() -> None:
    """Three times a day at most, twice where it is long."""
    for count, most in ((4, FIGURES.passage_most_times), (60, FIGURES.passage_long_times)):
        plan = practise(barred(EASY * count, 96), flute(), time=PracticeTime(30, 4))
        assert {day.passage.times for day in plan.days if day.passage} <= {*range(1, most + 1)}


def test_what_is_for_runs_is_told_where_there_is_time_for_it() -> None:
    """Backwards and in rhythms: of a run whose minutes are for these; the first sentence of all hard bars."""
    study = Stretch(0, 3, ("1", "1"), 1.0, 100, 3, 2.0, way=PLACE)
    short = instruction_of(study, TABLES.ways)
    full = instruction_of(Stretch(0, 3, ("1", "1"), 1.0, 100, 3, 5.0, way=PLACE, in_ways=True), TABLES.ways)
    assert full.startswith(short)
    assert "dotted" in full
    assert "dotted" not in short
