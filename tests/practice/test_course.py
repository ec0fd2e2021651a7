"""The course of a plan: what is hard in time, all bars, one tempo rule, ways for the music they are for."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES, TABLES
from tests.oracles.schedules import every_choice, faults, gain

from gripway.model.passage import Note, Ornament
from gripway.page.sheet.heading_words import heading_of
from gripway.page.sheet.outlook_words import free_words, left_words
from gripway.practice.plan.course import LONG, PLACE
from gripway.practice.plan.passage_tempo import no_leap
from gripway.practice.plan.plan import Day, Plan
from gripway.practice.schedule.schedule_rules import CellWork, TimeFrame
from gripway.practice.schedule.schedule_solver import schedule
from gripway.practice.ways.drone import drone_of
from gripway.practice.ways.fitting_bars import TONGUES
from gripway.practice.ways.sections import pieces
from gripway.practice.ways.spots import hard_places
from gripway.practice.ways.way_conditions import suits
from gripway.practice.ways.whole_passage import Stretch, Working, bar_of_change, fullest_places, played
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import PracticeTime, practise

HARD = "D6 E6 F#6 G#6 A6 G#6 F#6 E6 D6 C#6 B5 A5 G#5 F#5 E5 D5"
OTHER = "F6 G6 Ab6 Bb6 Ab6 G6 F6 Eb6 F6 G6 F6 Eb6 D6 Eb6 F6 C6"
EASY = "G5 A5 B5 A5 G5 A5 B5 A5 G5 A5 B5 A5 G5 A5 B5 A5"


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Four days of six bars, some of them hard in other ways, too many for drills."""
    passage = barred(" ".join((HARD, EASY, OTHER, EASY, OTHER, HARD)), 130)
    return practise(passage, flute(), time=PracticeTime(20, 4, cells=1))


def test_what_is_hard_is_met_before_the_last_day_or_named(plan: Plan) -> None:
    """Every hard change without drills is worked on in its bar on an earlier day, or the text names it."""
    assert plan.left
    early = {(s.first, s.last) for day in plan.days[:-1] for s in day.studies if s.way == PLACE}
    late = {(s.first, s.last) for s in plan.days[-1].studies if s.way == PLACE}
    assert late <= early
    told = left_words(plan)
    for cell in plan.left:
        assert cell.title in told
        there = any(first <= cell.place <= last for first, last in early)
        assert there is (cell not in plan.untouched)


def test_without_time_the_hard_changes_left_out_are_named() -> None:
    """One day of drills alone has no time for them: the text says which are left for later."""
    passage = barred(f"{HARD} {OTHER}", 130)
    plan = practise(passage, flute(), time=PracticeTime(5, 1, cells=1))
    assert plan.untouched
    assert "Left for later" in left_words(plan)


def test_a_day_of_five_minutes_holds_no_notes_while_hard_bars_wait() -> None:
    """Where nothing is hard beside the cell it does, on the first day."""
    for music, held in ((f"{HARD} {OTHER} A6:1/1", False), (f"{EASY} {EASY} A6:1/1", True)):
        plan = practise(barred(music, 130), flute(), time=PracticeTime(5, 2, cells=1))
        assert any(study.way in LONG for study in plan.days[0].studies) is held, music


def test_what_comes_to_its_tempo_on_the_last_day_is_played_twice_then() -> None:
    """However much work there is beside it: once is no concert."""
    line = "A5:1/2 B5:1/4 C6:1/4 D6:1/2 C6:1/4 B5:1/4 A5:1/2 G5:1/2 F5:3/4 r:1/4 " * 6
    music = " ".join((HARD, line, OTHER, line, EASY, HARD))
    *_, before, last = practise(barred(music, 110), flute(), time=PracticeTime(15, 4)).days
    assert before.passage
    assert last.passage
    assert before.passage.share < 1 <= last.passage.share
    assert last.passage.times == 2


def test_sections_go_through_every_bar(plan: Plan) -> None:
    """Sections leave out no bar of a short passage but those with rows of their own."""
    found = [study for day in plan.days for study in day.studies if study.way in ("sections", PLACE)]
    assert {study.way for study in found} == {"sections", PLACE}
    covered = {number for study in found for number in range(study.first, study.last + 1)}
    assert covered == set(range(len(plan.route.passage.notes)))


def test_bars_played_again_are_one_piece() -> None:
    """A repeat has no pieces of its own."""
    line = barred(f"{EASY} {HARD}", 100)
    again = tuple(replace(note, time_through=2, onset=note.onset + 2) for note in line.notes)
    assert pieces((*line.notes, *again)) == [(0, 15), (16, 31)]


def test_no_study_is_faster_than_a_notch_above_the_passage(plan: Plan) -> None:
    """One rule couples passage, cells and all other work; hard bars and the tongue alone go ahead."""
    ahead = dict.fromkeys((PLACE, *TONGUES), FIGURES.ahead_notches)
    for day in plan.days:
        assert day.passage
        for study in day.studies:
            notches = ahead.get(study.way, 1)
            share = day.passage.share_of(study.first, study.last)
            assert study.share <= share * (1 + FIGURES.notch_share) ** notches + 1e-9
        assert all(day.passage.share <= study.share for study in day.studies if study.way == PLACE)


def test_no_passage_goes_above_its_tempo() -> None:
    """Ready before the last day it keeps the tempo that was asked for, however quick and easy it is."""
    plan = practise(barred(f"{EASY} {EASY} D6 E6 F#6 E6 {EASY}", 100), flute(), time=PracticeTime(20, 5))
    shares = [day.passage.share for day in plan.days if day.passage]
    assert plan.cells
    assert shares[2:] == [1, 1, 1]


def suited(way: str, notes: tuple[Note, ...]) -> bool:
    """Whether a way of the table is for some notes."""
    return suits(TABLES.ways[way], notes, FIGURES)


def test_ways_are_for_the_music_they_suit() -> None:
    """No tonguing of trills, of one note or at slow notes."""
    run = barred(EASY, 120).notes
    trill = (replace(run[0], ornament=Ornament("trill")), *run[1:])
    slow = barred("G5 A5 B5 D6", 50, "1/4").notes
    still = barred("G6 G6 G6 G6", 120).notes
    assert suited("single", run)
    assert not any(suited("single", notes) for notes in (trill, slow, still))


def test_a_drone_lies_under_the_bars_of_one_chord() -> None:
    """The root of the chord that holds longest, as it sounds, and only its bars; none where none holds."""
    chord = "C5:1/4 E5:1/4 G5:1/4 E5:1/4 C5:1/4 D5:1/8 E5:1/8 G5:1/2"
    held = barred(f"{chord} A5:1/4 C#6:1/4 E6:1/4 F#6:1/4", 60).notes
    drone = drone_of(held, FIGURES)
    assert drone is not None
    assert (drone.name, held[drone.first].bar, held[drone.last].bar) == ("C", "1", "2")
    alto = drone_of(held, FIGURES, -5)
    assert alto is not None
    assert alto.name == "G"
    loud = tuple(replace(note, dynamic="f") for note in held)
    assert drone_of(loud, FIGURES) is None
    restless = barred("G5:1/4 A5:1/4 Bb5:1/4 C#6:1/4 D#6:1/4 F6:1/4 A5:1/4 B5:1/4", 60)
    assert drone_of(restless.notes, FIGURES) is None


def test_nothing_is_new_on_the_last_day() -> None:
    """No cell, and of three days no drill that is not music."""
    music = frozenset({3})
    works = [CellWork(10, (4, 4, 4, 4), daily=music, music=music), CellWork(9, (4, 4, 4, 4), music=music)]
    for slots in (9, 14, 19, 24):
        found = schedule(works, TimeFrame(3, slots, 1, 30, interleaved=False), FIGURES)
        before = {item for day in found.days[:-1] for item in day}
        new = set(found.days[-1]) - before
        assert all(drill == 3 and any(cell == other for other, _ in before) for cell, drill in new)


def test_the_heading_has_composer_work_part_and_bars() -> None:
    """Words of tempo that are a movement's title do not stand for the work."""
    passage = replace(barred(f"{EASY} {EASY}", 80), title="Presto", part="Flute 1")
    named = replace(passage, composer="Doe, Jo", work="Suite No. 2")
    assert heading_of(named) == ("Doe: Suite No. 2", "Flute 1", "bars 1 to 2")
    assert heading_of(passage)[0] == "Presto"


def test_music_comes_once_half_of_the_drills_before_it_have_been() -> None:
    """Back into the bar need not wait for every rhythm: four drills, checked against all plans."""
    music = frozenset({3})
    work = CellWork(10, (4, 4, 4, 2), daily=music, music=music)
    frame = TimeFrame(2, 12, 1, 30, interleaved=False)
    found = schedule([work], frame, FIGURES)
    plans = [plan for plan in every_choice([work], 2) if not faults(plan, [work], frame, FIGURES, 2)]
    assert found.gain == max(gain(plan, [work], FIGURES) for plan in plans)
    early = [plan for plan in plans if (0, 3) in plan[0] and (0, 2) not in plan[0]]
    assert early
    assert all((0, 1) in plan[0] for plan in early)


def test_the_bars_of_a_change_over_a_bar_line_are_those_of_both_its_notes() -> None:
    """From the bar of the note before to the end of the other; within a bar, on to the next bar's first."""
    notes = barred(f"{EASY} {EASY}", 130).notes
    assert bar_of_change(notes, 16, FIGURES) == (0, 31)
    assert bar_of_change(notes, 5, FIGURES) == (0, 16)


def test_work_on_a_change_ends_at_a_long_rest() -> None:
    """Bars of rest before and after it are no work, and where notes come again most are taken once."""
    rest = " ".join(["r:1/1"] * 3)
    notes = barred(f"D6 E6 D6 E6 r:3/4 {rest} {EASY} {rest} D6 E6 D6 E6 r:3/4", 130).notes
    assert bar_of_change(notes, 10, FIGURES) == (4, 19)
    assert bar_of_change(notes, 21, FIGURES) == (20, 23)
    loads = dict.fromkeys((*range(1, 4), *range(5, 20), *range(21, 24)), 0.2) | {2: 0.5, 9: 0.3, 22: 0.5}
    assert fullest_places(notes, loads, FIGURES) == (9, 2)


def test_the_minutes_say_how_rests_of_the_part_are_counted() -> None:
    """Where one lasts longer than is counted, the page says so; without one it does not."""
    rests = barred(f"{HARD} {' '.join(['r:1/1'] * 5)} {HARD}", 130)
    for passage, told in ((rests, True), (barred(f"{HARD} {HARD}", 130), False)):
        plan = practise(passage, flute(), time=PracticeTime(15, 1, cells=1))
        words = f"longer rests in the part: cut to {FIGURES.rest_most_s:g} seconds"
        assert (words in day_page(plan, plan.days[0]).facts) is told


@pytest.mark.parametrize(
    ("before", "left", "wanted"),
    [
        (0.6, 3, 0.6 * (1 + FIGURES.notch_share) ** FIGURES.passage_notches),
        (0.79, 3, FIGURES.passage_near_share),
        (0.82, 2, 0.82 * (1 + FIGURES.notch_share) ** FIGURES.closing_notches),
        (0.87, 2, 1.0),
        (0.85, 1, 1.0),
    ],
)
def test_near_its_tempo_the_passage_climbs_less(before: float, left: int, wanted: float) -> None:
    """Three notches a day further down, two beyond nine tenths, all that is left on the last."""
    whole = Stretch(0, 3, ("1", "1"), before, 100, 1, 1.0)
    days = [Day(number, (), 0.0, (), 0, whole) for number in range(1, 6 - left)]
    assert no_leap(1.0, left, days, FIGURES, holds=True) == pytest.approx(wanted)


def test_the_passage_follows_its_cells_without_jumps() -> None:
    """Never more than three notches a day, nor beyond what its cells are drilled to by then."""
    for line in (HARD, f"{OTHER} {EASY}"):
        plan = practise(barred(f"{line} {EASY}", 150), flute(), time=PracticeTime(20, 6))
        tops: dict[int, float] = {}
        before = 1.0
        for day in plan.days:
            assert day.passage
            if day.day > 1:
                assert (
                    day.passage.share <= before * (1 + FIGURES.notch_share) ** FIGURES.passage_notches + 1e-9
                )
            for item in day.items:
                planned = plan.cells[item.cell]
                if not (planned.cell.trill or planned.drills[item.drill].free):
                    share = item.end / planned.ladder.target
                    tops[item.cell] = max(share, tops.get(item.cell, 0.0))
            most = max(min(tops.values(), default=1.0), before if day.day > 1 else 0.0)
            assert min(1.0, day.passage.share) <= most + 1e-9
            before = day.passage.share


def test_a_drill_of_the_part_is_near_the_other_drills_of_its_day() -> None:
    """No more than two tempos above them, or above what its cell was drilled to on the days before."""
    plan = practise(barred(f"{HARD} {EASY}", 150), flute(), time=PracticeTime(20, 6))
    found = 0
    known: dict[int, int] = {}
    for day in plan.days:
        for item in day.items:
            planned = plan.cells[item.cell]
            others = [
                other.end
                for other in day.items
                if other.cell == item.cell and other is not item and not planned.drills[other.drill].free
            ]
            if planned.drills[item.drill].kind == "overlap" and others:
                found += 1
                base = max(*others, known.get(item.cell, 0))
                above = [step for step in planned.ladder.steps if base < step <= item.end]
                assert len(above) <= FIGURES.part_notches
        for item in day.items:
            if not plan.cells[item.cell].drills[item.drill].free:
                known[item.cell] = max(item.end, known.get(item.cell, 0))
    assert found


def test_high_long_notes_are_played_lower_first_and_then_as_written() -> None:
    """A6 has no swell, and takes no more than two minutes; E6 has its long notes with the tuner."""
    for line, high in (("A6:1/2 B6:1/2 A6:1/2 B6:1/2", True), ("D6:1/2 E6:1/2 D6:1/2 E6:1/2", False)):
        plan = practise(barred(line, 80), flute(), time=PracticeTime(20, 3))
        ways = [study for day in plan.days for study in day.studies if study.way in ("tone", "high")]
        assert ways
        assert {study.way for study in ways} == {"high" if high else "tone"}
        assert not high or all(study.minutes <= 2 for study in ways)


def test_what_is_left_for_later_stands_on_the_first_day() -> None:
    """And on no other."""
    plan = practise(barred(f"{HARD} {OTHER}", 130), flute(), time=PracticeTime(5, 2, cells=1))
    assert plan.untouched
    told = ["Left for later" in " ".join(day_page(plan, day).hints) for day in plan.days]
    assert told == [True, False]


def test_the_whole_passage_is_not_played_over_and_over() -> None:
    """Of a short easy passage and much time: twenty times a day at most, and the rest is free."""
    whole = ("phrase", "drone", "even", "dynamics", "memory")
    plan = practise(barred(f"{EASY} {EASY} {EASY}", 100), flute(), time=PracticeTime(45, 5))
    for day in plan.days:
        assert day.passage
        times = day.passage.times + sum(study.times for study in day.studies if study.way in whole)
        assert times <= 20
    assert free_words(plan, FIGURES)


def test_a_row_after_a_tied_note_names_both_bars() -> None:
    """The first new note of a bar that a tied one begins is not its first note."""
    notes = [replace(each, metre=(4, 4)) for each in barred(f"{EASY} {EASY}", 130).notes]
    assert played(Working(0, 16, 1.0, 60, 1.0), 1, notes).to_first
    notes[15] = replace(notes[15], length=Fraction(1, 8))
    tied = played(Working(0, 16, 1.0, 60, 1.0), 1, notes)
    assert not tied.to_first
    assert tied.bars == ("1", "2")


def test_a_row_after_a_note_of_two_bars_goes_on_to_the_first_note_of_the_next() -> None:
    """Held over a bar line before, but not into the last bar."""
    notes = barred("A5:2/1 B5:1/2 C6:1/2", 100).notes
    made = played(Working(0, 1, 1.0, 60, 1.0), 1, notes)
    assert (made.bars, made.to_first) == (("1", "3"), True)


def test_work_on_a_change_over_a_bar_line_goes_on_to_the_next_bar() -> None:
    """As the row says: on to the first note of the bar after both of its own."""
    notes = barred(f"{HARD} {HARD} {HARD}", 130).notes
    cell = practise(barred(f"{HARD} {HARD} {HARD}", 130), flute(), time=PracticeTime(20, 3)).cells[0].cell
    on = 16 - cell.place
    moved = replace(cell, notes=tuple(replace(note, index=note.index + on) for note in cell.notes))
    (place,) = hard_places([moved], notes, FIGURES)
    assert (place.first, place.last) == (0, 32)
