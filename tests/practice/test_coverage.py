"""Every stretch of the passage has a row, once before any comes in sections again."""

from dataclasses import replace
from pathlib import Path

import pytest
from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES, TABLES
from tests.practice.account import phrases_of, unworked

from gripway.model.passage import Note, Passage
from gripway.practice.plan.course import Course, Section
from gripway.practice.plan.plan import Plan
from gripway.practice.sections.day_sections import FAR_SHARE, DaySections
from gripway.practice.sections.section_choice import SectionChoice
from gripway.practice.ways.sections import exposed, needing, needs_of, pieces
from gripway.score.reading.score_reading import ReadOptions, load_score
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

DATA = Path(__file__).parents[1] / "data"
SECTIONS = TABLES.ways["sections"]

QUICK = "G5:1/8 A5:1/8 B5:1/8 A5:1/8 G5:1/8 A5:1/8 B5:1/8 A5:1/8 "
ENDS = "G5:1/8 A5:1/8 B5:1/8 A5:1/8 G5:1/4 r:1/4 "
STILL = "r:1/1 " * 3
SLOW = "G5:1/2 A5:1/2 B5:1/2 A5:1/2 "


def passage(*parts: str) -> Passage:
    """Bars of 4/4 at 120."""
    return barred("".join(parts).strip(), 120)


def choice(
    notes: tuple[Note, ...],
    had: tuple[Section, ...] = (),
    worked: tuple[tuple[int, int], ...] = (),
    day: int = 3,
) -> SectionChoice:
    """The sections of a day at the tempo of the part, nothing in it hard."""
    bars = pieces(notes)
    needs = needs_of(bars, [], notes, FIGURES)
    groups = needing(needs, bars, notes)
    weights = [sum(each) for each in zip(needs, exposed(bars, notes, FIGURES), strict=True)]
    rows = (*worked, *((each.first, each.last) for each in had))
    return SectionChoice(notes, bars, weights, groups, had, rows, day, lambda *_: 1.0, FIGURES.notch_share)


def bars_taken(found: SectionChoice, count: int = 4) -> list[str]:
    """The bars that come next in sections, first and last."""
    (first, last), _ = next(found.sections(iter([(count, 3)])))
    return [found.notes[first].bar, found.notes[last].bar]


@pytest.mark.parametrize(
    ("score", "bars", "minutes"),
    [
        ("schubert_d485_flute.musicxml", "5-60", 15),
        ("schubert_d485_flute.musicxml", "64-110", 20),
        ("boulanger_matin_flute.musicxml", "1-60", 30),
    ],
)
def test_every_phrase_of_a_part_has_a_row(score: str, bars: str, minutes: int) -> None:
    """Over four days, also the closing ones and few bars from rest to rest."""
    part = load_score(DATA / score, ReadOptions(bars=bars)).passage
    plan = practise(part, flute(), time=PracticeTime(minutes, 4))
    assert phrases_of(plan.route.passage.notes)
    assert unworked(plan) == []


def test_two_bars_between_long_rests_are_a_stretch() -> None:
    """Two bars that move are worked on by themselves; what is read at sight and one note alone are not."""
    notes = passage(QUICK * 4, STILL, QUICK * 2, STILL, SLOW, STILL, "A5:1/1").notes
    found = choice(notes, worked=((0, 31),))
    assert [[notes[found.bars[each][0]].bar for each in group] for group in found.unworked()] == [["8", "9"]]
    assert bars_taken(found) == ["8", "9"]


def test_what_no_row_had_comes_before_any_sections_again() -> None:
    """Though it is easier; and once all have a row the hardest come again, not the easiest."""
    few = "".join(f"{note}:1/2 A5:1/8 B5:1/8 A5:1/4 " for note in ("G5", "F5", "E5", "C6"))
    notes = passage(QUICK * 4, STILL, few, STILL, QUICK * 2, "D6:1/8 E6:1/8 " * 8).notes
    hard, easy, hardest = (Section(0, 31, 1.0, 1), Section(32, 39, 1.0, 1), Section(40, 71, 1.0, 1))
    assert bars_taken(choice(notes)) == ["15", "18"]
    assert bars_taken(choice(notes, (hard, hardest))) == ["8", "11"]
    assert bars_taken(choice(notes, (hard, hardest), worked=((32, 39),))) == ["8", "11"]
    assert bars_taken(choice(notes, (hard, easy, hardest))) == ["15", "18"]
    again = choice(notes, (hard, easy, hardest, hardest, hard, hard))
    assert again.open() == []


def test_the_last_day_has_the_hardest_of_what_was_slow() -> None:
    """Not the slowest, which days before it have first."""
    notes = passage(QUICK * 4, STILL, QUICK * 2, "D6:1/8 E6:1/8 " * 8).notes
    slow = choice(notes, (Section(0, 31, 0.6, 1), Section(32, 63, 0.7, 1)))
    assert bars_taken(slow) == ["1", "4"]
    assert bars_taken(replace(slow, closes=True)) == ["8", "11"]


def test_a_phrase_is_gone_through_whole() -> None:
    """Nine bars from rest to rest, of which six move quickly; one long note after a rest ends no sections."""
    notes = passage(QUICK * 3, ENDS, QUICK * 6, SLOW, "G5:1/2 r:1/2 ", QUICK * 5).notes
    found = choice(notes, worked=((0, 28),))
    assert bars_taken(found) == ["5", "13"]
    lone = passage(QUICK * 4, "G5:1/2 r:1/2 r:1/1 A5:1/1 r:1/1 ").notes
    assert choice(lone).groups == [(0, 1, 2, 3, 4)]


def test_soft_high_notes_are_exposed() -> None:
    """Of two stretches that are as quick the one with soft high notes comes first."""
    low, high = ("".join(f"{note}{octave}:1/2 A5:1/8 B5:1/8 A5:1/4 " for note in "EFGE") for octave in (5, 6))
    notes = passage(QUICK * 4, STILL, "f ", low, STILL, "pp ", high).notes
    assert bars_taken(choice(notes, worked=((0, 31),))) == ["15", "18"]


def test_far_from_its_tempo_sections_are_not_hurried() -> None:
    """No fewer times than the table has; nearer to it two clean times in a row are enough."""
    notes = passage(QUICK * 16).notes
    for share, least in ((FAR_SHARE - 0.1, SECTIONS.times), (1.0, 2)):
        today = replace(choice(notes), share_of=lambda *_, at=share: at)
        day = DaySections(today, 1, 5, Course(), is_long=True)
        assert {times for _, times in day.pieces(SECTIONS)} == {*range(least, SECTIONS.times + 1)}


@pytest.fixture(scope="module")
def idle() -> Plan:
    """Four phrases of ten easy bars."""
    return practise(passage(*[QUICK * 9 + ENDS + STILL] * 4), flute(), time=PracticeTime(20, 4))


def test_days_with_time_left_take_what_no_row_had(idle: Plan) -> None:
    """Also where nothing is hard: the first four sections have all notes."""
    assert unworked(idle) == []
    rows = [(day.day, study) for day in idle.days for study in day.studies if study.way == "sections"]
    first = {number for _, study in rows[:4] for number in range(study.first, study.last + 1)}
    assert len(first) == len(idle.route.passage.notes)
