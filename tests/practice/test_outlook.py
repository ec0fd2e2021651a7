"""A log that adapts: plateaus, how far the days get, and a simulated learner."""

import random
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from tests.oracles.passages import played
from tests.oracles.practice import FIGURES
from tests.tiers import thinned

from gripway.page.sheet.outlook_words import free_words, named_left, outlook_words
from gripway.practice.drills.tempo_ladder import ladder_of, on_plateau
from gripway.practice.plan.log_reading import day_entry, history_of, notes_of, reached_entry
from gripway.practice.plan.outlook import outlook_of
from gripway.practice.plan.plan import Plan
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, met_on_the_first_day, practise

LINE = played("(F#6 G#6 A6 B6 A6 G#6)", 144)
DAYS = 24


def test_a_plateau_begins_below_a_notch_more_and_after_its_days() -> None:
    """A notch above the best before is none, a beat less is one; with fewer days there is none."""
    notch = round(100 * (1 + FIGURES.notch_share))
    assert FIGURES.plateau_days == 3
    assert not on_plateau([100, notch, 96, 96], FIGURES)
    assert on_plateau([100, notch - 1, 96, 96], FIGURES)
    assert not on_plateau([100, 96, 96], FIGURES)
    assert not on_plateau([90, 100, 101, 102], FIGURES)


def test_the_goal_of_a_plateau_is_so_many_notches_above_the_best_and_the_part_again_after_it() -> None:
    """Its ladder ends there, its target stays; a notch more ends it."""
    plain = ladder_of(0.8, 144, FIGURES)
    stood = ladder_of(0.8, 144, FIGURES, [plain.steps[5]] * 4)
    assert stood.goal == plain.steps[5 + FIGURES.plateau_notches]
    assert stood.target == plain.target == plain.goal
    again = ladder_of(0.8, 144, FIGURES, [plain.steps[5]] * 4 + [plain.steps[6], stood.goal])
    assert again.goal == plain.target
    top = ladder_of(0.8, 144, FIGURES, [plain.steps[-2]] * 4)
    assert top.goal == plain.target


def test_what_the_days_get_to_is_what_the_last_of_them_climbs_to() -> None:
    """Counted from the items of the plan; fewer more days than it says do not reach it, a few more do."""
    plan = practise(LINE, flute(), time=PracticeTime(15, 2, cells=1))
    outlook = outlook_of(plan, 0, FIGURES)
    assert outlook.ends == max(item.end for day in plan.days for item in day.items)
    assert not outlook.reaches
    assert f"{outlook.ends} of {outlook.target}" in outlook_words(outlook)
    longer = [practise(LINE, flute(), time=PracticeTime(15, 2 + more, cells=1)) for more in (0, outlook.more)]
    assert [outlook_of(each, 0, FIGURES).reaches for each in longer] == [False, True]
    assert outlook_words(outlook_of(longer[1], 0, FIGURES)) == ""


def learnt(seed: int, limit: float) -> tuple[Plan, int, int]:
    """A learner's last plan, the highest tempo reached and on how many days; a third of the days is missed.

    The law of practice: what separates a player from their limit falls as a power of the days practised
    (Newell and Rosenbloom 1981, Mechanisms of skill acquisition and the law of practice); the exponent 0.7,
    a beginning at 0.45 of the tempo and days that differ by 3 % are judgement. Of the tempos the plan has
    for the day the highest within reach is noted, in a log as the command keeps it. Who has just risen when
    the time is over goes on for as many days as a plateau takes to be seen.
    """
    chance, today, best, risen = random.Random(seed), date(2026, 3, 1), 0, 0
    log: list[dict[str, Any]] = []
    while True:
        history = history_of(log)
        time = PracticeTime(10, history.sittings + 2, cells=1)
        plan = practise(LINE, flute(), time=time, history=history)
        ladder, cell = plan.cells[0].ladder, plan.cells[0].cell
        if ladder.done or history.sittings >= max(DAYS, risen + FIGURES.plateau_days):
            return plan, best, history.sittings
        today += timedelta(days=1 + (chance.random() < 1 / 3))
        share = limit - (limit - 0.45) * (history.sittings + 1) ** -0.7
        able = ladder.target * share * chance.gauss(1.0, 0.03)
        steps = sorted({step for item in plan.days[0].items for step in item.steps})
        clean = max([step for step in steps if step <= able], default=steps[0])
        if clean > best:
            best, risen = clean, history.sittings + 1
        log.append(reached_entry(cell, clean, ladder.target, f"{today}T10:00:00"))
        log.append(day_entry(met_on_the_first_day(plan), f"{today}T10:00:00"))


@pytest.mark.parametrize("seed", thinned(range(8), 8))
def test_a_learner_whose_limit_lies_above_the_tempo_reaches_it(seed: int) -> None:
    """In the days there are, whatever days are missed; the last plan only keeps it up."""
    plan, best, practised = learnt(seed, 1.4)
    assert plan.cells[0].ladder.done
    assert best >= plan.cells[0].ladder.target
    assert 3 <= practised <= DAYS


@pytest.mark.parametrize("seed", thinned(range(8), 8))
def test_a_learner_whose_limit_lies_below_it_is_told_why_not(seed: int) -> None:
    """The goal comes down to just above what was reached, and the words say so."""
    plan, best, practised = learnt(seed, 0.8)
    outlook = outlook_of(plan, 0, FIGURES)
    assert DAYS <= practised < 2 * DAYS
    assert best < outlook.goal < outlook.target
    assert f"the goal is now {outlook.goal} instead of {outlook.target}" in outlook_words(outlook)


def test_time_is_never_free_while_work_is_left_for_later() -> None:
    """Of days far from full it is told how long they take only where nothing hard is left for later."""
    line = "F#6 G#6 A6 r D6 E6 F6 D6 r B5 C6 D6 E6 r A6 B6 A6 r C#6 B5 D6 r"
    full = practise(played(line, 150), flute(), time=PracticeTime(5, 2))
    assert named_left(full)
    assert free_words(replace(full, minutes=60), FIGURES) == ""
    done = practise(played("(E6 F#6 G#6 A6)", 160), flute(), time=PracticeTime(20, 3))
    assert not named_left(done)
    assert free_words(replace(done, minutes=60), FIGURES).startswith("The work every day takes ")


def test_drills_are_numbered_as_the_days_first_have_them() -> None:
    """From 1 on for each cell, and the log still knows how many of the simplest ones are met."""
    line = "E6 F#6 G#6 A6 B6 A6 G#6 F#6 E6 F#6 G#6 A6 G#6 F#6 E6 D6"
    plan = practise(played(line, 160), flute(), time=PracticeTime(30, 7))
    for number, planned in enumerate(plan.cells):
        first = dict.fromkeys(item.drill for day in plan.days for item in day.items if item.cell == number)
        assert [*first] == [*range(len(first))]
        assert sorted(planned.order) == [*range(len(planned.drills))]
    met = met_on_the_first_day(plan)
    items = plan.days[0].items
    for number, planned in enumerate(plan.cells):
        had = {planned.order[item.drill] for item in items if item.cell == number}
        assert not had or {*range(met[notes_of(planned.cell)])} <= had
