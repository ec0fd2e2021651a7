"""Few hard bars do not slow a passage: it is played once without them at the tempo of the others."""

from dataclasses import replace

import pytest
from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES
from tests.practice.account import faults_of

from gripway.page.sheet.outlook_words import first_words
from gripway.page.sheet.pace_words import around_tempos
from gripway.practice.drills.drills import IN_THE_PART
from gripway.practice.plan.held_back import (
    around_of,
    hard_bars,
    least_played,
    most_beside_rows,
    played_after,
    still_around,
    to_slur_ends,
)
from gripway.practice.plan.plan import Plan
from gripway.practice.plan.plan_export import plan_data
from gripway.practice.ways.around import without
from gripway.practice.ways.whole_passage import Stretch, around_words, seconds_of
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import PracticeTime, practise

EASY = "G5:1/4 A5:1/4 B5:1/4 A5:1/4 "
LONG = "B5:1/1 D5:1/1 C5:1/1 E4:1/1 G4:1/1 F6:1/1"
RUN = "G5 A5 B5 A5 " * 4
HARD = "(E6 F#6 E6 F#6 G#6 F#6 G#6 A6) E6:1/2 "


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Twenty easy bars and one hard one, the fifth; notes to hold on two days."""
    return practise(barred(EASY * 4 + HARD + EASY * 12 + LONG, 168), flute(), time=PracticeTime(20, 4))


def test_one_hard_bar_does_not_slow_the_others(plan: Plan) -> None:
    """Without it the passage is near its tempo on day 1 and at it from day 2 on."""
    first, second = (day.passage for day in plan.days[:2])
    assert first
    assert second
    assert first.around
    assert second.around
    assert first.share < first.around.share < 1
    assert second.share < second.around.share == 1
    bars = {plan.route.passage.notes[at].bar for ends in first.around.ranges for at in ends}
    assert bars == {"5"}


def test_work_without_the_hard_bar_goes_at_the_tempo_of_the_others(plan: Plan) -> None:
    """Sections and lines that have no hard bar; those with it go at the tempo of the whole."""
    for day in plan.days:
        passage = day.passage
        assert passage
        assert passage.around is None or passage.share_of(*passage.around.ranges[0]) == passage.share
        for study in day.studies:
            if study.way in ("sections", "phrase", "swells"):
                assert study.share == pytest.approx(min(1.0, passage.share_of(study.first, study.last)))


def test_both_times_are_reckoned(plan: Plan) -> None:
    """The minutes hold the passage without the bar, which is counted through, and the whole of it."""
    notes = plan.route.passage.notes
    for passage in (day.passage for day in plan.days):
        assert passage
        if passage.around is None:
            continue
        ends = passage.first, passage.last
        fast = seconds_of(notes, *ends, passage.around.share, FIGURES)
        slow = seconds_of(notes, *ends, passage.share, FIGURES)
        assert passage.minutes * 60 >= fast + passage.times * slow - 1e-6


def test_words_sheet_and_data_agree(plan: Plan) -> None:
    """The same tempo and the same bar in each of them."""
    day = plan.days[1]
    assert day.passage
    assert day.passage.around
    assert "without bar 5" in around_words(day.passage, day.passage.around)
    blocks = [block for block in day_page(plan, day).blocks if getattr(block, "is_passage", False)]
    assert f"once at quarter = {day.passage.around.quarters} without bar 5" in blocks[-1].words
    told = plan_data(plan)["days"][1]["passage"]["around"]
    assert told["tempo"] == day.passage.around.quarters
    assert told["without"] == [list(ends) for ends in day.passage.around.ranges]
    assert first_words(plan, FIGURES)


def test_several_tempos_of_a_passage_are_told_once() -> None:
    """From bar 10 on another tempo: whole it has a share of those without its hard bar, not two strings."""
    line = barred(EASY * 4 + HARD + EASY * 12 + LONG, 168)
    slower = [
        replace(note, length_ms=note.length_ms * 1.5) if int(note.bar) >= 10 else note for note in line.notes
    ]
    plan = practise(replace(line, notes=tuple(slower)), flute(), time=PracticeTime(20, 4))
    works = [day.passage for day in plan.days if day.passage and day.passage.around and day.passage.times]
    assert works
    for work in works:
        assert work.without
        told = around_tempos(plan, work, work.without)
        assert told.count(" from bar 10 ") == 1
        assert told.endswith(f", then {work.share / work.without.share:.0%} of that")
        assert told in " ".join(
            block.words
            for day in plan.days
            for block in day_page(plan, day).blocks
            if hasattr(block, "words")
        )


def test_it_keeps_the_rules_of_plans(plan: Plan) -> None:
    """All that is counted over real music."""
    assert not [*faults_of(plan)]


def test_the_bar_left_out_has_work_on_every_day(plan: Plan) -> None:
    """From the second day on a drill puts it together, or it is played as it stands."""
    for day in plan.days[1:]:
        around = day.passage.around if day.passage else None
        for first, last in around.ranges if around else ():
            drilled = [
                item for item in day.items if plan.cells[item.cell].drills[item.drill].kind == IN_THE_PART
            ]
            there = [each for each in day.studies if each.way == "place" and each.first <= last <= each.last]
            assert drilled or there
            assert all(first == each.first for each in there)


def test_no_slur_is_cut() -> None:
    """Bars go with those that a slur binds them to, but not where it ends or begins on a first note."""
    through = "G5:1/4 A5:1/4 B5:1/4 A5:1/4 G5:1/4 A5:1/4 (B5:1/4 A5:1/4 " + HARD[1:]
    notes = barred(EASY + through + EASY, 168).notes
    assert to_slur_ends((12, 20), notes) == (8, 20)
    onto = barred(EASY + "(G5:1/4 A5:1/4 B5:1/4 A5:1/4 G5:1/4) A5:1/4 B5:1/4 A5:1/4 " + EASY, 168).notes
    assert to_slur_ends((4, 7), onto) == (4, 7)
    assert to_slur_ends((8, 11), onto) == (8, 11)


def test_many_hard_bars_are_played_with_the_others() -> None:
    """Every second bar is hard: nothing is left out; nor of a short passage."""
    for text in ((EASY + HARD) * 6, EASY * 3 + HARD):
        made = practise(barred(text, 168), flute(), time=PracticeTime(20, 3))
        assert made.days[0].passage
        assert made.days[0].passage.share < 0.8
        assert not any(day.passage and day.passage.around for day in made.days)


def test_what_is_hardly_behind_is_not_left_out() -> None:
    """A bar within `around_notches` of the others, as they begin, is played with them.

    So is one that is no run, one with too little that is hard, and what is played without its ornaments.
    """
    notes = barred(RUN * 12, 100).notes
    begins = (1 + FIGURES.notch_share) ** -FIGURES.passage_notches
    near = begins * (1 + FIGURES.notch_share) ** (0.5 - FIGURES.around_notches)
    bar, far = (16, 31), near / 1.5
    hard = {notes[20].id: FIGURES.around_load}
    assert around_of([(near, [bar])], near, None, notes, hard, FIGURES) is None
    found = around_of([(far, [bar])], far, None, notes, hard, FIGURES)
    assert found
    assert found.ranges == (bar,)
    assert found.share == pytest.approx(begins)
    melody = barred(EASY * 12, 168).notes
    assert around_of([(far, [(4, 7)])], far, None, melody, {melody[5].id: 1.0}, FIGURES) is None
    assert around_of([(far, [bar])], far, None, notes, {notes[20].id: 0.7}, FIGURES) is None
    assert around_of([(far, [bar]), (far, ())], far, None, notes, hard, FIGURES) is None


def test_a_few_notes_between_rests_are_never_left_out_and_begin_high(plan: Plan) -> None:
    """Three quick notes and a rest are played with the others, where a run of such notes is left out."""
    few = "r:1/4 r:1/8 (E6 F#6 G#6) r:1/4 "
    alone = practise(barred(EASY * 4 + few + EASY * 12 + LONG, 168), flute(), time=PracticeTime(20, 4))
    assert not any(day.passage and day.passage.around for day in alone.days)
    assert any(day.passage and day.passage.around for day in plan.days)
    (begun,) = (each.ladder for each in alone.cells if "F#6" in each.cell.pitches)
    (hard,) = (each.ladder for each in plan.cells if "F#6" in each.cell.pitches)
    assert begun.start / begun.target > hard.start / hard.target


def test_the_others_go_little_beyond_what_they_were_played_at() -> None:
    """Their slowest note decides, each time through alike; what was not played says nothing."""
    notes = barred(RUN * 12, 100).notes
    around = without([(16, 31)], 0.9, notes)
    assert least_played(around, {}, notes) == 1
    slow = Stretch(0, 31, ("1", "2"), 0.5, 50, 1, 1.0, way="sections")
    other = Stretch(32, 47, ("3", "3"), 0.4, 40, 1, 1.0, way="rhythm")
    played = played_after({}, [slow, other, None], notes)
    assert least_played(around, played, notes) == 0.5
    whole = Stretch(0, len(notes) - 1, ("1", "12"), 0.6, 60, 1, 1.0, around=around)
    assert least_played(around, played_after(played, [whole], notes), notes) == 0.9


def test_the_others_are_little_faster_than_their_rows_of_the_day() -> None:
    """`around_notches` beyond a section or a rhythm mostly of them; not of lines, nor of what is left out."""
    around = without([(16, 31)], 0.9, barred(RUN * 12, 100).notes)
    most = 0.5 * (1 + FIGURES.notch_share) ** FIGURES.around_notches
    for way, first, last, wanted in (
        ("sections", 28, 47, most),
        ("rhythm", 31, 40, most),
        ("threes", 40, 47, most),
        ("sections", 8, 31, 1.0),
        ("phrase", 24, 47, 1.0),
    ):
        row = Stretch(first, last, ("1", "2"), 0.5, 50, 1, 1.0, way=way)
        assert most_beside_rows(around, [row], FIGURES) == pytest.approx(wanted), way


def test_no_day_has_the_others_much_faster_than_their_rows() -> None:
    """Without the bar that is left out, sections and rhythms of dotted bars after it are no slower either.

    But where the others had their tempo the day before.
    """
    dotted = "(E5:3/16 F5:1/16) (G5:3/16 A5:1/16) (B5:3/16 A5:1/16) (G5:3/16 F5:1/16) "
    line = barred(dotted * 2 + EASY * 6 + HARD + dotted * 2 + EASY * 6, 168)
    met, had = 0, 0.0
    for day in practise(line, flute(), time=PracticeTime(12, 4)).days:
        if day.passage and (around := day.passage.around):
            met += 1
            assert around.share <= max(had, most_beside_rows(around, day.studies, FIGURES)) + 1e-9
            had = around.share
    assert met


def test_the_whole_is_not_dragged_for_a_few_bars() -> None:
    """Far behind the others the hard bar is left out, and the whole is played on the last two days alone."""
    slow = practise(barred(EASY * 4 + HARD + EASY * 12 + LONG, 230), flute(), time=PracticeTime(20, 6))
    dragged = [
        (day.passage.times, day.day)
        for day in slow.days
        if day.passage and (around := day.passage.around)
        if day.passage.share < FIGURES.around_whole_share * around.share
    ]
    assert dragged
    assert all(times == 0 or day >= len(slow.days) - 1 for times, day in dragged)


def test_a_change_in_longer_notes_holds_no_bar_back() -> None:
    """The same two notes in eighths, at half of the load, are no hard bar beside those in sixteenths."""
    slow = practise(
        barred(EASY * 3 + HARD + EASY * 3 + "E6:1/8 F#6:1/8 " * 4 + EASY * 4 + LONG, 200), flute()
    )
    hard = [bar for cell in slow.cells for bar in hard_bars(cell.cell, slow.route, FIGURES)]
    bars = {slow.route.passage.notes[first].bar for first, _ in hard}
    assert bars == {"4"}


def test_a_hard_bar_is_not_at_its_tempo_on_the_first_day() -> None:
    """It stays `back_notches` below, as the passage does; on the next day it climbs there."""
    hard = "(C5:1/8 D5 C5 D5) E5:1/4 C5:1/8 D#5 "
    line = barred(
        EASY * 4 + HARD + EASY * 3 + hard + EASY * 4 + "A6:1/8 F#6 A6 G#6 A6:1/4 G#6 " + EASY * 4, 92
    )
    first, second, *_ = practise(line, flute(), time=PracticeTime(25, 4, cells=1)).days
    shares = [[each.share for each in day.studies if each.way == "place"] for day in (first, second)]
    assert first.passage
    assert first.passage.share < max(shares[0]) <= (1 + FIGURES.notch_share) ** -FIGURES.back_notches + 1e-9
    assert max(shares[1]) > max(shares[0])


def test_no_bar_goes_back_to_the_tempo_of_few() -> None:
    """What goes without few bars does so until the whole is as fast, and climbs as far as it can."""
    had = without([(16, 31)], 0.8, barred(RUN * 12, 100).notes)
    most = 0.8 * (1 + FIGURES.notch_share) ** FIGURES.passage_notches
    for kept, wanted in ((1.0, most), (0.85, 0.85), (0.6, 0.8)):
        found = still_around([(0.5, [(16, 31)]), (kept, [(0, 15)])], 0.6, had, FIGURES)
        assert found
        assert found.ranges == had.ranges
        assert found.share == pytest.approx(wanted)
    assert still_around([], 0.79, had, FIGURES) is None
    assert still_around([], 0.6, None, FIGURES) is None


def test_the_others_are_never_slower_than_the_day_before(plan: Plan) -> None:
    """Without the hard bar the passage had its tempo; whole it comes beside that until it has it too."""
    fastest = [
        max(day.passage.share, day.passage.around.share if day.passage.around else 0.0)
        for day in plan.days
        if day.passage
    ]
    assert fastest == sorted(fastest)
    assert any(day.passage and day.passage.around and day.passage.times for day in plan.days)
