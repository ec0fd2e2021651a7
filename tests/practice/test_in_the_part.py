"""Back into its bar a cell goes no faster than the rest of the bar and the passage of the day let it."""

from fractions import Fraction
from itertools import pairwise

import pytest
from tests.oracles.passages import barred, played
from tests.oracles.practice import FIGURES
from tests.practice.account import contradictions, faults_of

from gripway.practice.drills.drills import IN_THE_PART
from gripway.practice.plan.plan import Plan
from gripway.score.writing.write_score import Section, write_score
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

EASY = "G5:1/4 A5:1/4 B5:1/4 A5:1/4 "
HARD = "(E6 F#6 E6 F#6) E6:1/4 D6:1/2 "
RUN = "(E6 F#6 G#6 F#6 D6 C#6 D#6 C#6) C6:1/2 "
NOTCH = 1 + FIGURES.notch_share


@pytest.mark.parametrize("bars", [EASY * 3 + HARD + EASY * 3, EASY * 2 + RUN + EASY + HARD + EASY * 2])
@pytest.mark.parametrize("tempo", [120, 144])
def test_a_bar_stands_at_no_two_tempos_far_apart(bars: str, tempo: int) -> None:
    """Two notches above the hard bar it shares, four above a passage that is not at its tempo."""
    plan = practise(barred(bars, tempo), flute(), time=PracticeTime(20, 5))
    there = [
        (item.end / plan.cells[item.cell].ladder.target, day.passage.share)
        for day in plan.days
        for item in day.items
        if plan.cells[item.cell].drills[item.drill].kind == IN_THE_PART and day.passage
    ]
    assert there
    for ends, share in there:
        assert share >= 1 or ends <= share * NOTCH**FIGURES.part_ahead_notches + 0.01
    assert not [*contradictions(plan)]
    assert not [*faults_of(plan)]


def test_a_day_with_time_has_the_bars_of_known_cells() -> None:
    """No day is without drills before the passage is at its tempo: what is not sure comes back in its bar."""
    plan = practise(barred(EASY * 3 + HARD + EASY * 3, 150), flute(), time=PracticeTime(20, 5))
    for before, day in pairwise(plan.days):
        assert day.items or (before.passage and before.passage.share >= 1)


@pytest.fixture(scope="module")
def week() -> Plan:
    """Seven days of half an hour for one change: there is nothing to climb to on the last of them."""
    return practise(barred(EASY * 6 + HARD + EASY * 5, 84), flute(), time=PracticeTime(30, 7, cells=1))


def test_a_day_on_which_nothing_climbs_is_short(week: Plan) -> None:
    """All is at its tempo, and was on the day before: few ways of work are left."""
    shares = [day.passage.share if day.passage else 0.0 for day in week.days]
    at_goal = next(place for place, share in enumerate(shares) if share >= 1)
    idle = week.days[at_goal + 2 :]
    assert idle
    for day in idle:
        ways = {study.way for study in day.studies} - {"tone", "soft", "high", "starts", "breaths"}
        assert len(ways) <= FIGURES.study_idle_ways


def test_the_last_day_brings_no_leap() -> None:
    """A day's step at most after the day before, as far as that had it without few hard bars."""
    for days in (3, 4):
        made = practise(barred(EASY * 3 + RUN * 2 + EASY * 3, 150), flute(), time=PracticeTime(20, days))
        before, last = (day.passage for day in made.days[-2:])
        assert before
        assert last
        had = before.around.share if before.around else before.share
        notches = FIGURES.passage_notches if last.share >= 1 else FIGURES.closing_notches
        assert last.share <= had * NOTCH**notches + 1e-9


def test_a_bar_goes_further_up_in_time_that_is_left() -> None:
    """Two short days: what stands in the part ends at its goal, as the day holds a third tempo."""
    line = "(A5 B5 C#6 D6 E6 F#6 G#6 A6 G#6 F#6 E6 D6 C#6 B5 A5)"
    plan = practise(played(line, 92), flute(), time=PracticeTime(8, 2, cells=1))
    (item,) = (
        item for item in plan.days[-1].items if plan.cells[item.cell].drills[item.drill].kind == IN_THE_PART
    )
    assert item.end == plan.cells[0].ladder.goal
    assert plan.days[-1].minutes <= 8


def test_a_bar_is_no_hard_bar_on_a_day_whose_drill_it_is() -> None:
    """Not the same bar twice on a day, at other tempos; on other days it may be."""
    hard = "(E6 F#6 E6 F#6 G#6 F#6 G#6 A6) E6:1/2 "
    time = PracticeTime(25, 5, cells=1)
    plan = practise(barred(EASY * 4 + hard + EASY * 6, 120), flute(), time=time)
    places = [(day, study) for day in plan.days for study in day.studies if study.way == "place"]
    for day in plan.days:
        drilled = [
            plan.cells[item.cell].cell.place
            for item in day.items
            if plan.cells[item.cell].drills[item.drill].kind == IN_THE_PART
        ]
        for study in (study for other, study in places if other is day):
            assert not any(study.first < place <= study.last for place in drilled)
    assert places


HELD = EASY + "G5:1/4 A5:1/4 B5:1/4 C6:5/16 (E6 F#6 E6 F#6 D6 E6) D6:1/16 D6:1/2 " + EASY


@pytest.mark.parametrize("before", ["C6:5/16", "C6:1/4 r:1/16"])
def test_a_note_held_over_into_the_bar_is_printed_tied_in(before: str) -> None:
    """What is left of C6 stands before E6, as long as to there; a rest stays a rest."""
    line = HELD.replace("C6:5/16", before)
    (planned, *_) = practise(barred(line, 120), flute(), time=PracticeTime(20, 5)).cells
    (drill,) = [each for each in planned.drills if each.kind == IN_THE_PART]
    held = [note for note in drill.passage.notes if note.held_over]
    whole = next(place for place, note in enumerate(drill.passage.notes) if note.pitch.name == "E6")
    first = drill.passage.notes[whole]
    assert first.onset % 1 == Fraction(1, 16)
    if "r" in before:
        assert not held
        return
    for note in held:
        after = drill.passage.notes[drill.passage.notes.index(note) + 1]
        assert (note.pitch.name, note.length, after.pitch.name) == ("C6", Fraction(1, 16), "E6")
        assert note.onset + note.length == after.onset
    assert held
    section = Section(drill.passage, metre=drill.metre, ends=False)
    written = write_score([section]).data.decode()
    assert written.count('<notehead parentheses="yes">') == len(held)
    assert written.count('<tied type="stop"/>') == len(held)
