"""The days of a plan as a teacher reads them: tempos that go on, few things, long notes first, no copies."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from tests.oracles.passages import barred, played
from tests.oracles.practice import FIGURES, TABLES
from tests.practice.account import leaps, stretches
from tests.tiers import some, thinned

from gripway.model.passage import Passage
from gripway.page.sheet.practice_drill import SIZES
from gripway.page.sheet.practice_fit import Fit, words_of
from gripway.page.sheet.sheet_model import SheetCell, SheetDrill, SheetPause
from gripway.practice.drills.drill_minutes import clean_times_of, tables_of_day
from gripway.practice.drills.drills import IN_THE_PART
from gripway.practice.plan.cell_work import DAILY_KINDS
from gripway.practice.plan.course import OPENING
from gripway.practice.plan.plan import Item, Plan
from gripway.practice.schedule.schedule_rules import more_things
from gripway.practice.ways.long_notes import long_notes
from gripway.practice.ways.sections import LONG_REST_MS, needing, needs_of, pieces
from gripway.practice.ways.whole_passage import study_words
from gripway.score.reading.score_reading import load_score
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import PracticeTime, practise

DATA = Path(__file__).parents[1] / "data"
EXAMPLES = Path(__file__).parents[2] / "examples"
BUDGETS = (PracticeTime(25, 5), PracticeTime(10, 7), PracticeTime(40, 6))
HARD = "D6 E6 F#6 G#6 A6 G#6 F#6 E6 D6 C#6 B5 A5 G#5 F#5 E5 D5"
OTHER = "F6 G6 Ab6 Bb6 Ab6 G6 F6 Eb6 F6 G6 F6 Eb6 D6 Eb6 F6 C6"


def passages() -> list[tuple[str, Passage]]:
    """Bars with many fast high notes of real parts, and the scores of the examples."""
    found = []
    for score in sorted(DATA.glob("*flute*.musicxml")):
        found += [(f"{score.stem} {span}", passage) for span, passage in stretches(score, 4)]
    for score in sorted(EXAMPLES.glob("*.musicxml")):
        found.append((score.stem, load_score(score).passage))
    return some(found, 4)


@pytest.fixture(scope="module", params=thinned(BUDGETS, len(BUDGETS)))
def plans(request: pytest.FixtureRequest) -> list[tuple[str, Plan]]:
    """A plan of each passage for one budget."""
    return [(name, practise(passage, flute(), time=request.param)) for name, passage in passages()]


def test_the_tempos_of_a_cell_are_one_climb_over_the_days(plans: list[tuple[str, Plan]]) -> None:
    """None begins above what its cell was drilled to, none falls far below it, none leaps in a drill."""
    assert [(name, leap) for name, plan in plans for leap in leaps(plan)] == []
    assert sum(len(plan.cells) for _, plan in plans) > len(plans)


def test_a_leap_is_found() -> None:
    """What the test above counts: a first tempo too high, one far too low, tempos too far apart."""
    plan = practise(barred(f"{OTHER} {OTHER}", 160), flute(), time=PracticeTime(30, 6, cells=1))
    (day, *_, item) = next(
        (day, item)
        for day in plan.days[1:]
        for item in day.items
        if not plan.cells[0].drills[item.drill].free and plan.cells[0].drills[item.drill].kind != IN_THE_PART
    )
    for steps in ((item.start * 2,), (item.start // 3,), (item.start, item.start * 2)):
        items = [replace(each, steps=steps) if each is item else each for each in day.items]
        days = [replace(each, items=tuple(items)) if each is day else each for each in plan.days]
        assert [*leaps(replace(plan, days=tuple(days)))]


def test_a_day_has_no_more_things_than_a_pupil_keeps_in_mind(plans: list[tuple[str, Plan]]) -> None:
    """Eight and the passage up to half an hour, one more for each ten minutes beyond; so with five drills."""
    for name, plan in plans:
        more = more_things(plan.minutes, FIGURES)
        for day in plan.days:
            assert len(day.works) - (day.passage is not None) <= 8 + more, name
            assert len(day.items) <= 5 + more, name
            assert len(day.works) == len(day.items) + len(day.studies) + (day.passage is not None)


@pytest.mark.parametrize(("minutes", "more"), [(20, 0), (30, 0), (39, 0), (40, 0), (60, 2)])
def test_things_of_a_long_day(minutes: int, more: int) -> None:
    """One more for each twelve minutes beyond half an hour."""
    assert more_things(minutes, FIGURES) == more


def test_long_notes_open_the_first_day_where_there_is_time(plans: list[tuple[str, Plan]]) -> None:
    """And every day that has them; what is practised comes after, the passage last."""
    for name, plan in plans:
        for day in plan.days:
            ways = [getattr(work, "way", None) for work in day.works]
            held = [place for place, way in enumerate(ways) if way in OPENING]
            assert held == [*range(len(held))], name
            assert ways[-1] == "", name
        if plan.minutes >= FIGURES.study_from_min and long_notes(plan.route.passage.notes, FIGURES):
            assert any(day.opening for day in plan.days[:2]), name


def test_days_after_the_first_differ(plans: list[tuple[str, Plan]]) -> None:
    """No day has the drills and the work of the day before it, where something is hard.

    But for days of music alone: that may come day after day. A cell has five drills, the first two of them
    for one day, so that the others come again after a day with another cell.
    """
    for name, plan in plans:
        if not plan.cells:
            continue
        done = [
            (
                {(item.cell, item.drill) for item in day.items},
                {(study.way, study.first) for study in day.studies},
            )
            for day in plan.days
        ]
        music = [
            all(plan.cells[item.cell].drills[item.drill].kind in DAILY_KINDS for item in day.items)
            for day in plan.days
        ]
        for place, one in enumerate(done):
            assert music[place] or one not in done[place + 1 : place + 2], name


def test_the_last_day_is_the_passage(plans: list[tuple[str, Plan]]) -> None:
    """Of a cell one drill that is no music at most, and no work on a few notes but hard bars."""
    for name, plan in plans:
        last = plan.days[-1]
        plain = [item.cell for item in last.items if not _is_music(plan, item)]
        assert len(plain) == len(set(plain)), name
        assert all(not TABLES.ways[study.way].of_cell or study in last.opening for study in last.studies), (
            name
        )


def _is_music(plan: Plan, item: Item) -> bool:
    return plan.cells[item.cell].drills[item.drill].kind in DAILY_KINDS


def test_each_drill_stands_below_its_own_cell(plans: list[tuple[str, Plan]]) -> None:
    """Also where cells come in turn, and then a line has the order; drills, rests and all, once each."""
    turns = 0
    for name, plan in plans:
        for day in plan.days:
            above, labels = "", []
            for block in day_page(plan, day).blocks:
                if isinstance(block, SheetCell):
                    above = str(block.number)
                elif isinstance(block, SheetDrill):
                    assert block.label.split(".")[0] == above, name
                    labels.append(block.label)
                elif "in turn" in block.words:
                    turns += 1
                    order = [f"{item.cell + 1}.{item.drill + 1}" for item in day.items]
                    told = block.words.rstrip(".").partition(": ")[2].split(", ")
                    assert [each for each in told if each[0].isdecimal()] == order, name
            assert sorted(labels) == sorted(f"{i.cell + 1}.{i.drill + 1}" for i in day.items), name
    assert turns


def test_a_page_explains_its_fingerings_and_says_where_the_passage_is(plans: list[tuple[str, Plan]]) -> None:
    """Every touch in words stands in its legend; without music under it the passage is in the part."""
    for name, plan in plans:
        for day in plan.days:
            page = day_page(plan, day)
            assert not day.items or "left hand | right hand" in page.key, name
            assert "--" not in " ".join((page.facts, *page.hints, *page.cautions)), name
            last = page.blocks[-1]
            assert isinstance(last, SheetPause)
            bare = words_of(last, Fit(SIZES[-1], 0))
            assert bare.endswith("Play it from your part."), name
            if last.music:
                assert not words_of(last, Fit(SIZES[-1], 0, bars=((last.number, 0),))).endswith(
                    "from your part."
                ), name


def test_a_long_day_has_more_clean_times() -> None:
    """Three in a row, four from half an hour on, five from an hour on; in the words too."""
    assert [clean_times_of(minutes, FIGURES) for minutes in (5, 29, 30, 59, 60)] == [3, 3, 4, 4, 5]
    plan = practise(played("(E6 F#6 G#6 A6)", 160), flute(), time=PracticeTime(30, 3))
    assert "after 4 clean times in a row" in dict(day_page(plan, plan.days[0]).told)["Boxes"]


def test_work_on_a_few_bars_climbs_to_the_tempo_of_the_passage() -> None:
    """From where it was the day before, a notch at a time, so often cleanly at each."""
    plan = practise(barred(f"{HARD} {OTHER}", 130), flute(), time=PracticeTime(20, 4, cells=1))
    days = [day for day in plan.days if day.passage]
    climbing = [(before, day, s) for before, day in pairwise(days) for s in day.studies if s.tempos > 1]
    assert climbing
    for before, day, study in climbing:
        assert before.passage
        assert day.passage
        lowest = study.share / (1 + FIGURES.notch_share) ** ((study.tempos - 1) * study.stride)
        way = TABLES.ways[study.way]
        worked = [
            s.share for day_ in days if day_.day < day.day for s in day_.studies if s.first == study.first
        ]
        known = max(before.passage.share * way.share, *worked, 0.0)
        half = (1 + FIGURES.notch_share) ** 0.6
        assert study.tempos == FIGURES.study_tempos or lowest <= known * half
        assert study.climbs(100, FIGURES)[-1] == 100
        assert len(study.climbs(100, FIGURES)) == study.tempos
        assert f"{FIGURES.clean_times} clean times each" in study_words(study, plan.titles, TABLES.ways)


def test_sections_begin_and_end_with_music() -> None:
    """Bars with a long rest between them are in no run together; at just less they are."""
    for rest_ms, together in ((LONG_REST_MS, False), (LONG_REST_MS - 500, True)):
        passage = barred(" ".join([HARD] * 4 + [OTHER] * 4), 60)
        notes = list(passage.notes)
        bars = pieces(notes)
        second = bars[4][0]
        late = notes[second - 1].onset_ms + notes[second - 1].length_ms + rest_ms - notes[second].onset_ms
        for place in range(second, len(notes)):
            notes[place] = replace(notes[place], onset_ms=notes[place].onset_ms + late)
        groups = needing(needs_of(bars, [], notes, FIGURES), bars, notes)
        assert (groups == [tuple(range(8))]) is together


def test_the_minutes_of_a_long_day_are_those_of_its_clean_times() -> None:
    """The tables of a day have its own number, the rest as it was."""
    made = tables_of_day(60, TABLES)
    assert made.figures.clean_times == 5
    assert replace(made.figures, clean_times=FIGURES.clean_times) == FIGURES
    assert made.ways is TABLES.ways
