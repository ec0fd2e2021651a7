"""What a teacher would pencil into a plan: beats, drills that come twice, sections, tonguing, what is new."""

from dataclasses import replace

import pytest
from tests.oracles.passages import barred, played
from tests.oracles.practice import FIGURES, TABLES

from gripway.cli.text.practise_text import practise_text
from gripway.model.passage import Passage
from gripway.model.tempo import DOTTED, EIGHTH, HALF, QUARTER
from gripway.page.sheet.heading_words import goal_of
from gripway.practice.cells.counted_beat import counted_beat
from gripway.practice.drills.distinct_drills import distinct
from gripway.practice.plan.plan import Plan
from gripway.practice.plan.schedule_greedy import greedy
from gripway.practice.plan.schedule_rules import CellWork, TimeFrame
from gripway.practice.plan.schedule_solver import schedule
from gripway.practice.plan.sections import piece_of, pieces, run_of
from gripway.practice.plan.way_conditions import suits
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page, plan_sheet
from gripway.tasks.practise import PracticeTime, practise

UP = "(E6 F#6 G#6 A6) B5 A5 G#5 F#5 E5 F#5 G#5 A5 B5 C#6 D6 C#6"


@pytest.fixture(scope="module")
def passage() -> Passage:
    """Four bars, the hard changes in the last."""
    easy = "A4 A4 B4 B4 A4 A4 G4 G4 A4 A4 B4 B4 A4 A4 G4 G4"
    return barred(f"{easy} {easy} {easy} {UP}", 132)


@pytest.mark.parametrize(
    ("metre", "quarters", "beat"),
    [
        ((3, 8), 132, DOTTED),
        ((6, 8), 156, DOTTED),
        ((2, 2), 160, HALF),
        ((2, 2), 159, HALF),
        ((2, 2), 80, HALF),
        ((2, 2), 79, QUARTER),
        ((4, 4), 80, QUARTER),
        ((4, 4), 79, EIGHTH),
        ((6, 8), 59, EIGHTH),
        ((6, 8), 60, DOTTED),
        (None, 96, QUARTER),
    ],
)
def test_a_beat_is_one_that_a_metronome_has(
    metre: tuple[int, int] | None, quarters: float, beat: object
) -> None:
    """From 40 halves or dotted quarters on, quarters from 40 at half the tempo; else in parts up to 208.

    That a metronome's wheel goes from 40 to 208 is common practice.
    """
    assert counted_beat(metre, quarters, FIGURES) == beat


def test_a_tempo_of_the_file_alone_is_no_goal() -> None:
    """It is called the file's tempo, and the player is asked for an own one; a printed mark is a goal."""
    line = replace(played("(E6 F#6 G#6 A6)", 160), tempo_from=("playback", "Presto"))
    plan = practise(line, flute(), time=PracticeTime(20, 6))
    told = "the file plays quarter = 160 (Presto is printed): set your own goal"
    pages = plan_sheet(plan, flute())
    assert "--tempo" not in pages
    for text in (practise_text(plan, flute()), pages):
        words = " ".join(str(text).split())
        assert told in words
        assert "file's tempo" in words.replace("&#39;", "'")
        assert "its tempo from day" not in words
        assert "goal: " not in words.replace("own goal: ", "")
    printed = practise(replace(line, tempo_from=("printed", "half = 80")), flute(), time=PracticeTime(20, 6))
    assert goal_of(printed) == "goal: quarter = 160 (printed: half = 80)"
    assert goal_of(replace_mark(printed, "quarter = 160")) == "goal: quarter = 160 (as printed)"


def replace_mark(plan: Plan, mark: str) -> Plan:
    """The plan of a part with another printed mark."""
    passage = replace(plan.route.passage, tempo_from=("printed", mark))
    return replace(plan, route=replace(plan.route, passage=passage))


def test_no_drill_comes_in_two_cells() -> None:
    """What the first cell has, the second has not; the drills of a cell itself stay."""
    plan = practise(played("(E6 F#6 G#6 A6)", 160), flute(), time=PracticeTime(20, 5))
    drills = plan.cells[0].drills
    first, second = distinct([drills, drills])
    assert (first, second) == (drills, ())


def test_sections_begin_where_the_cell_is_and_leave_no_bar_out(passage: Passage) -> None:
    """The pieces with it come first, then the others; from the end it is the last."""
    notes = passage.notes
    bars = pieces(notes)
    wanted = piece_of(bars, len(notes) - 1, notes)
    assert (len(bars), wanted) == (4, 3)
    first = run_of((0, 1, 2, 3), wanted, 2, bars, notes)
    assert (first, run_of((0, 1), wanted, 2, bars, notes)) == ((2, 3), (0, 1))
    assert run_of((0, 1, 2, 3), 3, 3, bars, notes, backward=True) == (1, 2, 3)


def test_the_first_sections_of_a_plan_hold_its_cell(passage: Passage) -> None:
    """In ten minutes, which do not go through all bars."""
    plan = practise(passage, flute(), time=PracticeTime(16, 4))
    study = next(each for day in plan.days for each in day.studies if each.way == "sections")
    assert study.first <= plan.cells[0].cell.place <= study.last


def test_tonguing_is_for_what_is_tongued_and_quick() -> None:
    """Double tongue from sixteenths at 100 on; neither where most is slurred."""
    quick, slower = (played("E5 F5 G5 A5 G5 F5 E5 D5", tempo).notes for tempo in (100, 99))
    slurred = played("(E5 F5 G5 A5 G5 F5 E5 D5)", 120).notes

    def suited(way: str, notes: Passage | object) -> bool:
        return suits(TABLES.ways[way], notes, FIGURES, hard=True)  # type: ignore[arg-type]

    assert suited("double", quick)
    assert not suited("double", slower)
    assert suited("single", slower)
    assert not any(suited(way, slurred) for way in ("single", "double", "twos"))


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


def test_new_drills_are_told_in_a_line_and_printed_as_music() -> None:
    """Each new kind once, on its first day; of new drills only holds, stops, the part's own are words."""
    plan = practise(played("(E6 F#6 G#6 A6)", 160), flute(), time=PracticeTime(20, 3))
    pages = [day_page(plan, day) for day in plan.days]
    titles = [title for page in pages for title, _ in page.told]
    assert titles
    assert len(titles) == len(set(titles))
    met: set[str] = set()
    for page in pages:
        drills = [block for block in page.blocks if hasattr(block, "passage")]
        new = [drill for drill in drills if drill.label not in met]
        plain = ("Look-ahead hold", "Move and stop")
        told = [drill for drill in new if drill.words and drill.title not in plain]
        assert all("from your part" in drill.words for drill in told)
        met |= {drill.label for drill in drills}


def test_drills_are_no_louder_than_the_sheet_says() -> None:
    """Mp at most, what stands in the part as loud as there."""
    plan = practise(played("ff (E6 F#6 G#6 A6)", 160), flute(), time=PracticeTime(20, 3))
    for drill in (each for planned in plan.cells for each in planned.drills):
        loud = {note.dynamic for note in drill.passage.notes}
        assert loud == ({"ff"} if drill.kind == "overlap" else {"mp"})
