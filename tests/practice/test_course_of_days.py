"""The course over the days: sections first, long notes most days, what is hardest next, no idle time."""

from dataclasses import replace
from itertools import pairwise

import pytest
from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES

from gripway.page.sheet.outlook_words import is_free, named_left
from gripway.practice.plan.plan import Plan
from gripway.practice.ways.sections import SECTION_BARS
from gripway.practice.ways.whole_passage import is_long
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

RUN = "D6 E6 F#6 E6 D6 C#6 B5 A5 B5 C#6 D6 E6 F#6 E6 D6 C#6"
LOW = "D5 E5 F#5 G5 A5 G5 F#5 E5 D5 E5 F#5 G5 A5 B5 A5 G5"
BARS = 24


@pytest.fixture(scope="module")
def long_plan() -> Plan:
    """Twenty-four bars of sixteenths in twenty minutes a day, every second one another."""
    ends = [f"{one} {other}" for one in ("A5", "F5", "E5") for other in ("G5", "F#5", "B5", "C6")]
    music = " ".join(f"{RUN} {LOW.removesuffix('A5 G5')}{end}" for end in ends)
    return practise(barred(music, 120), flute(), time=PracticeTime(20, 5))


def test_a_long_passage_is_met_in_sections_by_the_middle_of_the_days(long_plan: Plan) -> None:
    """Other bars each day but two that fill up four, all by the third; the hardest of a day first."""
    notes = long_plan.route.passage.notes
    assert is_long(notes, 20, FIGURES)
    met: list[set[str]] = []
    for day in long_plan.days[:3]:
        own = [study for study in day.studies if study.way == "sections"]
        assert own, day.day
        met.append({note.bar for each in own for note in notes[each.first : each.last + 1]})
    assert all(len(one & other) <= SECTION_BARS for one, other in pairwise(met))
    assert len(set.union(*met)) == BARS


def test_run_throughs_leave_the_day_to_work(long_plan: Plan) -> None:
    """The passage has a quarter of the day at most while there are sections to play."""
    for day in long_plan.days[:3]:
        assert day.passage
        assert day.passage.minutes <= FIGURES.run_share * 20


def test_the_entrance_after_a_long_rest_has_its_day_before_the_last() -> None:
    """However many sections are left: nine bars of rest before the last four."""
    line = " ".join([RUN, LOW] * 12) + f" r:9/1 A5:1/4 B5:1/4 C#6:1/2 {RUN} {LOW} {RUN}"
    plan = practise(barred(line, 120), flute(), time=PracticeTime(15, 4))
    there = [day.day for day in plan.days for study in day.studies if study.about == "on A5"]
    assert there == [3]


def test_long_notes_open_most_days() -> None:
    """Two days of three from twenty minutes on, every second on shorter ones, more where these have time."""
    groups = ("A5:1/2 B5:1/2", "D5:1/2 E5:1/2", "E4:1/2 G4:1/2", "F6:1/2 D6:1/2", "C6:1/2 F5:1/2")
    line = "".join(f"{RUN} {LOW} {group} {LOW} {RUN} {LOW} {RUN} " for group in groups)
    longer = practise(barred(line, 90), flute(), time=PracticeTime(20, 5))
    assert all(day.opening for day in longer.days if day.day % 3)
    short = practise(barred(line, 90), flute(), time=PracticeTime(16, 4))
    assert all(day.opening for day in short.days if day.day % 2)


def test_what_is_hardest_next_is_worked_on_where_there_is_time() -> None:
    """Nothing is hard here, yet the fullest bar is met more than once; on a slow line it is not."""
    easy = "A5 B5 A5 B5 C6 B5 A5 G5"
    high = "(C6 D6 E6 D6 C6 B5 A5 B5)"
    passage = barred(" ".join([f"{easy} {easy}", f"{high} {high}", f"{easy} {easy}"]), 108)
    plan = practise(passage, flute(), time=PracticeTime(20, 4))
    assert not plan.cells
    bars = [study.bars[0] for day in plan.days for study in day.studies if study.way == "place"]
    assert bars
    assert set(bars) <= {"2", "3"}
    slow = practise(
        replace(passage, notes=barred(" ".join([f"{high}"] * 6), 15).notes), flute(), time=PracticeTime(20, 4)
    )
    assert all(study.way != "place" for day in slow.days for study in day.studies)


def test_music_that_is_easy_is_at_its_tempo_from_the_first_day() -> None:
    """Eighths and quarters at 144, quarters at 60, what is calm: nothing is climbed to, nor gone above."""
    line = " ".join(["A5:1/4 B5:1/4 C6:1/4 D6:1/4"] * 8)
    run = barred(line.replace("1/4", "1/8"), 144)
    calm = replace(run, notes=tuple(replace(note, manner=("Tranquillo",)) for note in run.notes))
    for passage in (run, barred(line, 144), barred(line, 60), calm):
        assert {day.passage.share for day in practise(passage, flute()).days if day.passage} == {1}


@pytest.mark.parametrize("minutes", [15, 20, 30, 40])
def test_no_time_is_free_while_what_is_hard_is_left(minutes: int) -> None:
    """Ten hard bars: either the days are full, or none is left for later."""
    bars = [f"D6 E6 {other} E6 D6 C#6 B5 A5" for other in ("F#6", "G#6", "G6", "A6", "F6", "C6")]
    plan = practise(barred(" ".join(bars), 140), flute(), time=PracticeTime(minutes, 4))
    assert not (named_left(plan) and any(is_free(plan, day, FIGURES) for day in plan.days))
