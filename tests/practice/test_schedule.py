"""The days: every rule kept, and as good as the best of all plans tried."""

import itertools
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.oracles.practice import FIGURES
from tests.oracles.schedules import every_choice, faults, gain
from tests.tiers import examples

from gripway.practice.schedule import schedule_solver
from gripway.practice.schedule.schedule_greedy import greedy
from gripway.practice.schedule.schedule_rules import (
    CellWork,
    TimeFrame,
    arranged,
    frame_of,
    gain_of,
    least_drills,
    long_rests,
    most_gain,
)
from gripway.practice.schedule.schedule_solver import schedule

WORK = st.builds(
    lambda weight, visits, met, plain, daily, music, kept, until, apart, mastered: CellWork(
        weight,
        tuple(slots for slots, _ in visits[0]),
        min(met, len(visits[0])),
        tuple(
            tuple(max(2, slots + more * number) for slots, more in visits[0])
            for number in range(1, visits[1])
        ),
        plain=frozenset(range(plain)),
        daily=frozenset(daily),
        music=frozenset(music),
        kept=kept[0],
        kept_from=kept[1],
        mastered=min(mastered, visits[1] - 1) if mastered < 9 else mastered,
        until=(9, *until[: len(visits[0]) - 1]),
        apart=frozenset(apart) - frozenset(daily),
    ),
    st.integers(1, 40),
    st.tuples(
        st.lists(st.tuples(st.integers(2, 8), st.integers(-2, 1)), min_size=1, max_size=2), st.integers(1, 3)
    ),
    st.integers(0, 2),
    st.integers(0, 1),
    st.sets(st.integers(0, 1)),
    st.sets(st.integers(1, 3)),
    st.tuples(st.integers(2, 3), st.sampled_from([None, 0, 1])),
    st.lists(st.integers(0, 3), min_size=1, max_size=1),
    st.sets(st.integers(0, 1)),
    st.sampled_from([9, 9, 0, 1, 2]),
)
"""Cells whose drills take other times on their second and third visit; some may come day after day."""


@settings(max_examples=examples(25))
@given(st.lists(WORK, min_size=1, max_size=2), st.integers(1, 3), st.integers(8, 30), st.booleans())
def test_it_is_as_good_as_the_best_of_all(works: list[CellWork], days: int, slots: int, turns: bool) -> None:
    """On small cases the plan keeps every rule and no other plan that does is worth more."""
    frame = TimeFrame(days, slots, 1, 12, turns)
    least = {least_drills(work, frame, FIGURES) for work in works}
    if len(least) > 1:
        works, least = works[:1], {least_drills(works[0], frame, FIGURES)}
    (drills,) = least
    found = schedule(works, frame, FIGURES)
    chosen = tuple(frozenset(day) for day in found.days)
    assert faults(chosen, works, frame, FIGURES, drills) == ""
    assert found.proved
    assert found.gain == gain(chosen, works, FIGURES)
    best = max(
        gain(other, works, FIGURES)
        for other in every_choice(works, days)
        if not faults(other, works, frame, FIGURES, drills)
    )
    assert found.gain == best


def test_the_gap_between_two_days_of_a_cell_is_kept() -> None:
    """With a gap of no free day allowed, a cell's days follow each other; checked against all plans."""
    daily = frozenset({0})
    works = [CellWork(10, (4,), daily=daily), CellWork(9, (4,), daily=daily)]
    figures = replace(FIGURES, gap_most_days=0, visit_drills=1)
    frame = TimeFrame(4, 4, 1, 12, False)
    found = schedule(works, frame, figures)
    best = max(
        gain(other, works, figures)
        for other in every_choice(works, 4)
        if not faults(other, works, frame, figures, 1)
    )
    assert found.gain == best


@settings(max_examples=examples(40))
@given(st.lists(WORK, min_size=1, max_size=4), st.integers(1, 6), st.integers(8, 40), st.booleans())
def test_the_greedy_plan_keeps_every_rule(works: list[CellWork], days: int, slots: int, turns: bool) -> None:
    """What the solver begins with, and falls back on, is a plan; the solver's is no worse."""
    frame = TimeFrame(days, slots, 1, 12, turns)
    least = {least_drills(work, frame, FIGURES) for work in works}
    if len(least) > 1:
        works, least = works[:1], {least_drills(works[0], frame, FIGURES)}
    first = tuple(frozenset(day) for day in greedy(works, frame, FIGURES))
    assert faults(first, works, frame, FIGURES, least.pop()) == ""
    worth = gain(first, works, FIGURES)
    assert worth == gain_of([sorted(day) for day in first], works, FIGURES)
    assert worth <= schedule(works, frame, FIGURES).gain <= most_gain(works, frame, FIGURES)


def test_a_solver_without_time_leaves_the_greedy_plan_with_a_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    """No counted time at all: no error, a plan with the hardest cell on day 1, not proved best."""
    monkeypatch.setattr(schedule_solver, "COUNTED_TIME", 0.0)
    works = [CellWork(40 - cell, (6,) * 12) for cell in range(6)]
    found = schedule(works, frame_of(30, 7, "blocked", FIGURES), FIGURES)
    assert found.days[0][0] == (0, 0)
    assert found.gain < found.bound
    assert not found.proved


@settings(max_examples=examples(12))
@given(
    st.lists(WORK, min_size=2, max_size=4),
    st.integers(1, 6),
    st.integers(5, 60),
    st.sampled_from(["blocked", "interleaved"]),
)
def test_minutes_rests_and_days_are_respected(
    works: list[CellWork], days: int, minutes: int, order: str
) -> None:
    """Whatever the cells, no day is longer than there is time, and the value never exceeds the bound."""
    frame = frame_of(minutes, days, order, FIGURES)
    found = schedule(works, frame, FIGURES)
    assert len(found.days) == days
    assert found.gain <= found.bound
    visits = Counter[int]()
    for day in found.days:
        played = sum(works[cell].slots_on(visits[cell])[drill] for cell, drill in day)
        assert played + max(0, len(day) - 1) * frame.rest <= frame.slots
        visits.update({cell for cell, _ in day})
        if order == "interleaved":
            assert all(a[0] != b[0] for a, b in itertools.pairwise(day))
        else:
            cells = [cell for cell, _ in day]
            assert (
                len(list(dict.fromkeys(cells))) == 1 + sum(a != b for a, b in itertools.pairwise(cells))
                or not cells
            )


def test_the_same_question_has_the_same_answer() -> None:
    """Nothing is left to chance."""
    works = [CellWork(30, (6, 6, 5, 5)), CellWork(25, (6, 6, 5)), CellWork(20, (7, 7))]
    frame = frame_of(15, 4, "blocked", FIGURES)
    assert schedule(works, frame, FIGURES) == schedule(works, frame, FIGURES)


def test_a_minute_is_enough_for_one_drill() -> None:
    """One minute, one day: a plan with one drill, not an empty one."""
    found = schedule([CellWork(20, (2, 2, 2))], frame_of(1, 1, "blocked", FIGURES), FIGURES)
    assert found.days == (((0, 0),),)


@pytest.mark.parametrize(
    ("minutes", "rests"),
    [(1, 0), (19, 0), (20, 0), (26, 0), (28, 1), (29, 1), (30, 1), (31, 1), (60, 2), (120, 4), (180, 7)],
)
def test_long_rests_belong_into_long_days(minutes: int, rests: int) -> None:
    """After each 25 minutes of work, when there is time left to play: of 28 with two of rest 26 are left."""
    assert long_rests(minutes, FIGURES) == rests


def test_turns_never_play_a_cell_twice_in_a_row_where_that_can_be() -> None:
    """Three of one and two of another: they alternate, each in its own order."""
    chosen = [(0, 0), (0, 1), (0, 2), (1, 0), (1, 1)]
    assert arranged(chosen, {0, 1}) == ((0, 0), (1, 0), (0, 1), (1, 1), (0, 2))
    assert arranged(chosen) == tuple(chosen)
    assert arranged([*chosen, (2, 0), (2, 1)], {0, 1})[-2:] == ((2, 0), (2, 1))


def test_the_harder_cell_begins_a_mixed_day() -> None:
    """Of one drill and two of the second cell strict turns begin with the second, others do not."""
    chosen = [(0, 0), (1, 0), (1, 1)]
    assert arranged(chosen, {0, 1}) == ((1, 0), (0, 0), (1, 1))
    assert arranged(chosen, {0, 1}, strict=False) == ((0, 0), (1, 0), (1, 1))


def test_a_day_has_no_more_to_read_than_it_may() -> None:
    """In the greedy plan and in the solver's; what was met before does not count."""
    works = [CellWork(10, (1,) * 6, signs=(4,) * 6), CellWork(9, (1,) * 6, signs=(4,) * 6)]
    frame = replace(TimeFrame(3, 30, 1, 30, interleaved=False), fresh=12)
    for days in (greedy(works, frame, FIGURES), schedule(works, frame, FIGURES).days):
        met: set[tuple[int, int]] = set()
        assert days[0]
        for day in days:
            assert 4 * len({*day} - met) <= 12
            met |= {*day}
    known = [replace(work, met=6) for work in works]
    assert len(schedule(known, frame, FIGURES).days[0]) > 3
