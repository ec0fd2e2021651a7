"""Every phrase has a row of its own before a day ends early."""

import re
from dataclasses import replace

from tests.oracles.passages import barred
from tests.oracles.practice import TABLES

from gripway.practice.plan.course import NO_BARS, Course, Section
from gripway.practice.plan.plan import Plan
from gripway.practice.studies.bare_phrases import BarePhrases
from gripway.practice.studies.studies import StudyMaker
from gripway.practice.ways.around import Around
from gripway.practice.ways.sections import phrases, pieces
from gripway.practice.ways.spots import HardPlace, Spot
from gripway.practice.ways.whole_passage import Stretch, Working, played, study_words
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

SPOT = Spot(None, 1, 100.0, (0, 1))
LINE = "A5:1/2 B5:1/4 C6:1/4 D6:1/2 C6:1/4 B5:1/4 A5:1/2 G5:1/2 F5:3/4 r:1/4 "
FAST = "(G5 A5 B5 C6) (D6 C6 B5 A5) (G5 A5 B5 C6) (D6 C6 B5 A5) " * 2 + "G5:1/2 r:1/2 "
FOUR = "(G5 A5 B5 C6) (D6 C6 B5 A5) " * 8 + "G5:1/2 r:1/2 "
LONE = "A5:1/8 r:3/8 A5:1/8 r:3/8 " * 8


def bare_of(plan: Plan) -> list[str]:
    """The bars in which phrases begin of which no row has half of the notes."""
    notes = plan.route.passage.notes
    rows = [study for day in plan.days for study in day.studies if study.way not in NO_BARS]
    worked = {at for row in rows for at in range(row.first, row.last + 1)}
    bars = pieces(notes)
    ends = ((bars[each[0]][0], bars[each[-1]][1]) for each in phrases(bars, notes))
    return [
        notes[first].bar
        for first, last in ends
        if last - first >= 6 and 2 * len(worked & {*range(first, last + 1)}) < last - first + 1
    ]


def test_no_phrase_is_left_without_a_row_where_days_have_time() -> None:
    """Slow lines and fast ones, whatever else the days are for."""
    plan = practise(barred((LINE + FAST + LINE + LONE) * 2, 132), flute(), time=PracticeTime(20, 5))
    assert not bare_of(plan)


def test_a_phrase_is_worked_on_in_the_way_it_asks_for() -> None:
    """Single notes are counted, quick ones go in sections, the others are a line."""
    for text, way in ((LINE * 2, "phrase"), (FAST * 2, "sections"), (LONE * 2, "upbeats")):
        notes = barred(text, 132).notes
        day = BarePhrases(notes, (), 1.0, 1, Course(), TABLES, 20)
        assert {next(day._ways_for(*each)) for each in day._bare_phrases(())} == {way}, text


def test_held_notes_without_a_tune_are_no_line() -> None:
    """Halves of one note, or a tune with three bars of rest in it, have neither that nor sections."""
    tune = "A5:1/2 B5:1/2 C6:1/2 D6:1/2 "
    for text, is_line in (
        (tune * 4, True),
        ("A5:1/2 " * 15 + "B5:1/2", False),
        (f"{tune}r:3/1 {tune}", False),
    ):
        notes = barred(text, 200).notes
        day = BarePhrases(notes, (SPOT,), 1.0, 1, Course(), TABLES, 20)
        assert ("phrase" in [*day._ways_for(0, len(notes) - 1)]) is is_line, text
        assert is_line or not [*day._else_for(0, len(notes) - 1)], text


def maker_after(music: str, rows: tuple[tuple[int, int], ...], day: int = 3, left: int = 3) -> StudyMaker:
    """A day of a passage at its tempo of which some notes had rows, as sections at that tempo."""
    notes = barred(music, 132).notes
    had = tuple(Section(first, last, 1.0, 1) for first, last in rows)
    known = Course({"tone": day - 1, "sections": 1}, had, held=2, rows=rows)
    spot = Spot(None, 0, 132, (0, len(notes) - 1))
    return StudyMaker(notes, (spot,), 1.0, day, known, TABLES, 20, left=left)


def days_rows(maker: StudyMaker) -> list[Stretch]:
    """What the day takes one after another, in five minutes each."""
    there: list[Stretch] = []
    while len(there) < 8 and (study := maker.more(5.0, there)):
        there.append(study)
    return [study for study in there if study.way not in NO_BARS]


def test_nothing_comes_again_before_all_had_a_row() -> None:
    """Two quick phrases had sections: the third is there before one of them is a second time."""
    maker = maker_after(FOUR * 3, ((0, 64), (65, 129)))
    rows = days_rows(maker)
    assert rows
    assert rows[0].first >= 130
    assert not any(rows[0].first <= each.first <= rows[0].last for each in rows[1:])


def test_what_had_least_work_for_how_hard_it_is_comes_once_more() -> None:
    """On a day that has time: of two quick phrases the one that had one row, not the one that had three."""
    maker = maker_after(FOUR * 2, ((0, 64), (0, 64), (0, 64), (65, 129)))
    row = maker._least_worked(5.0, (), ())
    assert row
    assert row.first == 65
    assert maker._least_worked(5.0, (row,), ("sections",)) is None


def test_two_bars_left_over_are_work_where_they_are_hard() -> None:
    """Between a line and an entrance that had rows: two bars of sixteenths; of halves four or none."""
    hard = "G5:1/2 A5:1/2 " * 2 + "(G5 A5 B5 C6) (D6 C6 B5 A5) (G5 A5 B5 C6) (D6 E6 D6 C6) " * 2
    hard += "A5:1/2 G5:1/2 " * 2
    easy = "G5:1/2 A5:1/2 " * 2 + "G5:1/2 A5:1/2 C6:1/2 B5:1/2 " + "A5:1/2 G5:1/2 " * 2
    for music, found in ((hard, ["3"]), (easy, [])):
        notes = barred(music, 132).notes
        middle = [at for at, note in enumerate(notes) if note.bar in ("3", "4")]
        rows = ((0, middle[0] - 1), (middle[-1] + 1, len(notes) - 1))
        day = BarePhrases(notes, (), 1.0, 2, Course(rows=rows), TABLES, 20)
        assert [notes[first].bar for first, _ in day._bare_phrases(())] == found, music


def test_what_had_sections_yesterday_comes_again_where_it_climbs() -> None:
    """At the same tempo it waits a day; from eight tenths of it to the whole it goes on."""
    for share, goes_on in ((1.0, False), (0.8, True)):
        notes = barred(FOUR, 132).notes
        known = Course({"sections": 2}, (Section(0, 64, share, 2),), rows=((0, 64),))
        maker = StudyMaker(notes, (Spot(None, 0, 132, (0, 64)),), 1.0, 3, known, TABLES, 20, left=3)
        assert bool(maker._least_worked(5.0, (), ())) is goes_on


def test_loud_high_bars_of_what_is_repeated_are_played_an_octave_lower_but_for_the_last_time() -> None:
    """In every way alike: from A6 on in f, where they last, and G6 where it fills most of the time.

    Not in p, not D6, not one A6 in passing, no slow slurs, nor bars with a note that has no octave below it.
    """
    high = "A6:1/8 G6:1/8 A6:1/8 G6:1/8 " + "C5:1/8 " * 4
    for line, level, lower in (
        (high * 4, "f", True),
        (high * 4, "p", False),
        (high.replace("C5", "B4") * 4, "f", False),
        ("G6:1/8 F6:1/8 " * 8, "f", True),
        ("G6:1/8 E6:1/8 " * 16, "f", True),
        ("G6:1/8 E6:1/8 D6:1/8 E6:1/8 " * 8, "f", False),
        ("G6:1/8 F6:1/8 " * 3, "f", False),
        ("(A6:1/2 B6:1/2 A6:1/2 G6:1/2) " * 2, "f", False),
        ("G#6:1/8 E6:1/8 " * 16, "f", True),
        ("A6:1/8 E6:1/8 " + "G4:1/8 " * 30, "f", False),
    ):
        notes = [replace(note, dynamic=level) for note in barred(line, 100).notes]
        day = BarePhrases(notes, (SPOT,), 1.0, 1, Course(), TABLES, 20)
        for way in ("sections", "upbeats", "repeated", "rhythm", "accents", "ties"):
            study = day._row(TABLES.ways[way], 0, len(notes) - 1, 9.0)
            assert study
            told = "(high bars an octave lower, as written only the last time)"
            assert (told in study_words(study, (), TABLES.ways)) is study.lower is lower, (line, level, way)


def test_lines_and_the_last_day_have_their_high_bars_as_written() -> None:
    """A line is about its sound, leaps about the way up: both come as often as else.

    Changes of dynamic, and accents on the last day, come half as often.
    """
    notes = [replace(note, dynamic="ff") for note in barred("A6:1/8 G6:1/8 " * 16, 100).notes]
    for day, way, lower, times in (
        (1, "accents", True, 4),
        (1, "phrase", False, 3),
        (1, "leaps", False, 4),
        (1, "contrasts", False, 2),
        (3, "accents", False, 2),
    ):
        made = BarePhrases(notes, (SPOT,), 1.0, day, Course(), TABLES, 20, left=4 - day)
        study = made._row(TABLES.ways[way], 0, len(notes) - 1, 9.0)
        assert study
        assert (study.lower, study.times) == (lower, times), (day, way)


def test_what_goes_once_is_as_written() -> None:
    """What is played once spares nobody's lips by another octave."""
    notes = [replace(note, dynamic="ff") for note in barred("A6:1/4 " * 16, 100).notes]
    day = BarePhrases(notes, (SPOT,), 1.0, 1, Course(), TABLES, 20)
    for times, lower in ((1, False), (2, True)):
        study = day._spared(played(Working(0, len(notes) - 1, 1.0, 100, 10.0), times, notes))
        assert study
        assert study.lower is lower


def test_bars_left_out_of_the_passage_are_joined_before_it_is_whole() -> None:
    """On the last but one day the four of them in one row; not before, nor where one row had them."""
    notes = barred(FOUR * 2, 132).notes
    around = Around(0.9, ((65, 128),), "bars 6-9")
    for left, rows, found in ((2, (), 65), (3, (), None), (2, ((65, 128),), None)):
        known = Course({"sections": 1}, rows=rows)
        spot = Spot(None, 0, 132, (0, 64))
        maker = StudyMaker(notes, (spot,), 0.75, 3, known, TABLES, 20, left=left, around=around)
        row = maker._together(5.0, ())
        assert (row and row.first) == found
        assert row is None or row.share == 0.75


def test_bars_that_hold_the_whole_back_are_met_with_those_beside_them() -> None:
    """Two bars with one before and after: from the second day on, on every second, at the slow tempo."""
    notes = barred(FOUR * 2, 132).notes
    around = Around(0.9, ((81, 112),), "bars 7-8")
    yesterday = (Section(65, 128, 0.6, 2),)
    for share, day, had, bars in (
        (0.6, 3, (), "6 10"),
        (0.7, 3, (), ""),
        (0.6, 1, (), ""),
        (0.6, 3, yesterday, ""),
    ):
        known = Course({"sections": 1} if had else {}, had)
        spot = Spot(None, 0, 132, (0, 64))
        maker = StudyMaker(notes, (spot,), share, day, known, TABLES, 20, left=3, around=around)
        row = maker._together(5.0, ())
        assert (" ".join(row.bars) if row else "") == bars
        assert row is None or row.share == 0.6


def test_entries_after_rests_are_played_in_tempo() -> None:
    """A few notes after each rest are no ladder: so often at the tempo of the day."""
    notes = barred(LONE * 2, 132).notes
    study = BarePhrases(notes, (SPOT,), 1.0, 1, Course(), TABLES, 20)._row(
        TABLES.ways["upbeats"], 0, len(notes) - 1, 9.0
    )
    assert study
    assert (study.tempos, study.share) == (1, 1.0)
    assert study.times >= 2


def test_a_hard_bar_goes_no_faster_than_the_cells_in_it() -> None:
    """A cell drilled to six tenths holds its bar there; one that is not begun, or beside it, does not."""
    notes = barred(FOUR, 132).notes
    course = Course(met={0: 2}, worked={0: 0.7})
    for ready, share in ((0.7, 0.7), (0.85, 0.85), (0.0, 1.0)):
        place = HardPlace(0, 16, 132.0, ("D6 C6",))
        known = {notes[5].id: ready, notes[40].id: 0.5}
        day = BarePhrases(notes, (SPOT,), 0.6, 3, course, TABLES, 20, (place,), left=2, ready=known)
        study = day._in_its_bar(place, 9.0, ahead=9)
        assert study
        assert study.share == max(0.7, min(share, 0.7 * 1.06**6)), ready


def test_what_a_crowded_sheet_says_of_a_row_has_all_steps() -> None:
    """In short a row still says that it is played as written at the end."""
    for way in TABLES.ways.values():
        begin, _, rest = way.instruction.partition(";")
        later = re.search(r"then [^,;.]*as (written|printed)", rest)
        assert later is None, (way.id, begin)
