"""Work on the passage beside the drills: other ways from day to day, as long as they take."""

from dataclasses import replace
from itertools import pairwise

import pytest
from tests.oracles.passages import barred, played
from tests.oracles.practice import FIGURES, TABLES

from gripway.model.passage import Passage
from gripway.page.sheet.outlook_words import first_words, free_words
from gripway.practice.plan.course import LONG, SECTIONS, Course, mostly_in
from gripway.practice.plan.log_reading import History, Reached, notes_of
from gripway.practice.plan.plan import Plan
from gripway.practice.studies.studies import StudyMaker
from gripway.practice.ways.around import Around
from gripway.practice.ways.questions import questions_of
from gripway.practice.ways.spots import HardPlace, Spot
from gripway.practice.ways.whole_passage import Stretch, passage_how, seconds_of, study_words
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import PracticeTime, practise

LINE = "D6 E6 F#6 G#6 A6 G#6 F#6 E6 D6 C#6 B5 A5 G#5 F#5 E5 D5"


@pytest.fixture(scope="module")
def passage() -> Passage:
    """Four bars of sixteenths."""
    line = played(" ".join([LINE] * 4), 120)
    notes = (replace(note, bar=str(note.onset // 1 + 1), at=note.onset % 1) for note in line.notes)
    return replace(line, notes=tuple(notes))


@pytest.fixture(scope="module")
def plan(passage: Passage) -> Plan:
    """Five days of it."""
    return practise(passage, flute(), time=PracticeTime(30, 5))


def test_no_way_comes_twice_a_day_nor_two_days_running(plan: Plan) -> None:
    """But for long notes, and sections at another tempo."""
    ways = [[study.way for study in day.studies if study.way != "place"] for day in plan.days]
    assert all(len(set(today)) == len(today) for today in ways)
    assert all(set(today) & set(before) <= {*LONG, SECTIONS} for before, today in pairwise(ways))
    assert len({way for today in ways for way in today}) >= 4


def test_a_day_has_no_bars_in_two_special_rows_and_other_bars_come_first() -> None:
    """Of lines, entrances and sections over the same bars a day has one; others come before the first."""
    song = "(D6:1/4 E6:1/4 F6:1/2) (E6:1/4 D6:1/4 C6:1/2)"
    line = f"p {song} {song} r:9/1 {song} r:9/1 {song} {song} r:4/1 {LINE} {LINE}"
    plan = practise(barred(line, 100), flute(), time=PracticeTime(25, 7))
    special = ("phrase", "entry", "swells", "contrasts", "accents", "upbeats", "rhythm", "sections")
    rows = [[study for study in day.studies if study.way in special] for day in plan.days]
    assert sum(len(today) for today in rows) >= 3
    for today in rows:
        for study in (study for study in today if study.way != "sections"):
            others = [other for other in today if other is not study]
            assert not any(mostly_in((study.first, study.last), (one.first, one.last)) for one in others)
    for way in ("phrase", "entry"):
        first, *later = [study.bars for today in rows for study in today if study.way == way]
        assert not later or later[0] != first


def test_time_that_is_left_goes_to_music_that_had_no_row() -> None:
    """Three tunes after long rests: each has its line and its entrance, on no day twice.

    A day with little else has a second line, on other bars.
    """
    song = "(D6:1/4 E6:1/4 F6:1/2) (E6:1/4 D6:1/4 C6:1/2) (B5:1/2 C6:1/2)"
    plan = practise(barred(f"p {song} r:9/1 {song} r:9/1 {song}", 100), flute(), time=PracticeTime(20, 6))
    for way in ("phrase", "entry"):
        rows = [study.bars for day in plan.days for study in day.studies if study.way == way]
        assert {bars[0] for bars in rows} >= {"13", "25"}
        assert len({*rows[:2]}) == 2
    for day in plan.days:
        special = [study.way for study in day.studies if study.way in ("phrase", "entry", "rhythm")]
        assert len(special) - max(0, special.count("phrase") - 1) == len({*special})
        lines = [study.bars for study in day.studies if study.way == "phrase"]
        assert len(lines) <= 2
        assert len(lines) == len({*lines})


def test_a_rhythm_that_rules_comes_again_on_later_days() -> None:
    """Its bars have it three times at most, on other days, the last day at the tempo of the part."""
    dotted = "A5:3/16 B5 C6:3/16 D6 E6:3/16 D6 C6:3/16 B5"
    line = " ".join([dotted] * 3 + ["A5:1/1"] + [dotted] * 3)
    plan = practise(barred(line, 80), flute(), time=PracticeTime(20, 10))
    days = [[study for study in day.studies if study.way == "rhythm"] for day in plan.days]
    rows = [study.bars for day in days for study in day]
    assert len(rows) > len({*rows})
    assert max(map(rows.count, rows)) <= 3
    assert all(len(day) <= 1 for day in days)
    assert [study.share for study in days[-1]] == [1.0]
    for before, day in pairwise(days[:-1]):
        assert not {study.bars for study in before} & {study.bars for study in day}


def test_a_rhythm_is_followed_by_another_one_and_not_by_more_of_the_same() -> None:
    """Six dotted bars, three off the beat: after the first three these; over a rest the dotted ones."""
    dotted = "A5:3/16 B5:1/16 C6:1/8 D6:1/8 E6:3/16 D6:1/16 C6:1/8 B5:1/8 " * 3
    off = "A5:1/8 B5:1/4 C6:1/4 B5:1/4 A5:1/8 " * 3
    for between, wanted in (("", "8"), ("r:1/1 r:1/1 ", "6")):
        notes = barred(f"{dotted}{between}{dotted}A5:1/1 {off}G5:1/1", 100).notes
        had = ("rhythm", 0, max(at for at, note in enumerate(notes) if note.bar == "3"))
        maker = StudyMaker(notes, (Spot(None, 0, 100, (0, 0)),), 1.0, 3, Course(done=(had,)), TABLES, 30)
        row = maker._on_bars(TABLES.ways["rhythm"], maker.spots[0], 5.0, ())
        assert row is not None
        assert row.bars[0] == wanted


def test_twos_after_threes_are_worked_on_though_the_drills_are_on_the_same_high_notes() -> None:
    """In cut time, on the notes of the cell: the rhythm is there on a day with its drills."""
    bar = "G6:1/2 G6:1/6 G6:1/6 G6:1/6 (G6:1/8 A6:1/8) F6:1/4 (G6:1/8 A6:1/8) F6:1/4 "
    passage = barred(f"ff {bar * 4}", 252)
    passage = replace(passage, notes=tuple(replace(note, metre=(2, 2)) for note in passage.notes))
    plan = practise(passage, flute(), time=PracticeTime(20, 4))
    assert plan.cells
    assert any(study.way == "threes" for study in plan.days[1].studies + plan.days[0].studies)


def test_no_way_comes_before_its_day(plan: Plan) -> None:
    """What is for later comes late in the course; the order of a day is that of the table."""
    places = [*TABLES.ways]
    for day in plan.days:
        assert all(TABLES.ways[study.way].from_day <= day.day for study in day.studies)
        order = [places.index(study.way) for study in day.studies]
        assert order == sorted(order)


def test_a_log_goes_on_with_the_course() -> None:
    """After two days the next one does not hold the first notes again."""
    groups = ("A5:1/1 B5:1/1", "E4:1/1 G4:1/1", "E6:1/1 D6:1/1")
    passage = barred(
        "mf " + " ".join(f"{LINE} {group} {LINE} {LINE} {LINE} {LINE} {LINE}" for group in groups), 120
    )
    cell = practise(passage, flute(), time=PracticeTime(20, 5)).cells[0].cell
    reached = [Reached(cell.key, notes_of(cell), 80, f"2026-01-0{day}T10:00") for day in (1, 2)]
    later = practise(passage, flute(), time=PracticeTime(20, 5), history=History(tuple(reached)))
    first = practise(passage, flute(), time=PracticeTime(20, 5))
    held = [
        [each.about for day in made.days for each in day.opening if each.way in LONG]
        for made in (first, later)
    ]
    assert later.days[0].day == 3
    assert held[0][0] == "(A6)"
    assert held[0][0] not in held[1]
    assert held[1]


def test_a_study_has_the_minutes_it_takes(plan: Plan) -> None:
    """Never less than its notes, once, so often as the table says, with a breath; at most five minutes."""
    notes = plan.route.passage.notes
    for study in (study for day in plan.days for study in day.studies if study.share):
        once = seconds_of(notes, study.first, study.last, study.share, FIGURES)
        assert once * TABLES.ways[study.way].times <= study.minutes * 60 <= FIGURES.item_most_min * 60
        assert study.share <= 1


def test_long_rests_of_the_part_are_cut_short(passage: Passage) -> None:
    """A rest of a minute takes four seconds, whatever the tempo."""
    first, second, *_ = passage.notes
    late = replace(second, onset_ms=first.onset_ms + first.length_ms + 60_000)
    whole = seconds_of([first, late], 0, 1, 1.0, FIGURES)
    sounding = (first.length_ms + late.length_ms) / 1000
    assert whole == pytest.approx(sounding + FIGURES.rest_most_s + FIGURES.breath_s)


def test_runs_have_ways_that_slow_notes_have_not(passage: Passage) -> None:
    """Rhythms and the click between the beats are for notes that run."""
    slow = practise(played("E6 F#6 G#6 A6 G#6 F#6", 50, "1/4"), flute(), time=PracticeTime(30, 5))
    fast = {way.id for way in TABLES.ways.values() if way.fast or way.quick}
    assert not fast & {study.way for day in slow.days for study in day.studies}
    found = practise(passage, flute(), time=PracticeTime(30, 5))
    assert fast & {study.way for day in found.days for study in day.studies}


def test_time_that_is_left_is_said_to_be_free() -> None:
    """Three notes are no work for an hour: the first sentences say how long it takes.

    While the passage is not at its tempo they say what to do with the time that is left.
    """
    plan = practise(played("E6 F#6 G#6", 160), flute(), time=PracticeTime(60, 3))
    assert max(day.minutes for day in plan.days) < 0.85 * 60
    told = first_words(plan, FIGURES)
    assert told.startswith("For 3 days, 60 minutes a day: work on E6 F#6 G#6")
    assert told.endswith("play again what is not clean yet.")
    said = {"time left, again what is not clean yet" in day_page(plan, day).facts for day in plan.days}
    assert said == {True}, "the sheets of all days say the same"
    easy = practise(played("A5 B5 C6 D6 C6 B5 A5 B5", 60), flute(), time=PracticeTime(60, 3))
    assert free_words(easy, FIGURES).endswith("that is enough, the rest is free.")
    full = practise(played("E6 F#6 G#6", 160), flute(), time=PracticeTime(10, 1))
    assert free_words(full, FIGURES) == ""


def test_how_far_the_passage_gets_is_said_unless_it_gets_there() -> None:
    """One day ends below the tempo and says so, six days reach it."""
    for days, reaches in ((1, False), (6, True)):
        plan = practise(played("E6 F#6 G#6", 160), flute(), time=PracticeTime(20, days))
        last = plan.days[-1].passage
        assert (last is not None and last.share == 1) is reaches
        assert ("On the last day the passage is at" in first_words(plan, FIGURES)) is not reaches


def test_a_new_grip_is_learnt_first() -> None:
    """The cell that teaches a grip comes first; with it begin the day and the sentence of the plan."""
    line = " ".join(["E6 F#6 G#6 r"] * 6 + ["C6 D6 C6 D6 C6 D6"])
    plan = practise(played(line, 180), flute(), time=PracticeTime(20, 5, cells=2))
    assert [cell.learns for cell in plan.cells] == [True, False]
    first = plan.days[0].items[0]
    assert (first.cell, plan.cells[0].drills[first.drill].kind) == (0, "learn")
    assert first_words(plan, FIGURES).startswith("For 5 days, 20 minutes a day: learn D6 ")


def test_words_of_a_study_and_of_the_passage(plan: Plan) -> None:
    """What, which bars, which cell; the passage is a concert on the last day of several."""
    met = next(each for day in plan.days for each in day.studies if each.tempos > 1 and each.way != "place")
    study = replace(met, cell=0, about="")
    told = study_words(study, plan.titles, TABLES.ways)
    assert told.startswith(f"{TABLES.ways[study.way].title}, bars ")
    assert told.endswith(f"({plan.titles[study.cell or 0]}), {study.times} clean times each")
    plain = replace(study, tempos=1)
    assert study_words(plain, plan.titles, TABLES.ways).endswith(f"), {study.times} times through")
    assert study_words(replace(plain, times=1), plan.titles, TABLES.ways).endswith(", once through")
    assert "as in the concert" in passage_how(5, 5, 1)
    assert "as in the concert" not in passage_how(1, 1, 1) + passage_how(2, 5, 2)
    assert "first time" in passage_how(5, 5, 2)
    assert "time" not in passage_how(5, 5, 1)


def test_a_bar_that_is_not_hard_is_called_the_next_hardest(plan: Plan) -> None:
    """Not a hard bar below the words that nothing is hard."""
    study = replace(plan.days[0].studies[0], way="place", nearly=True)
    assert study_words(study, plan.titles, TABLES.ways).startswith("Next hardest bar, ")
    assert study_words(replace(study, nearly=False), plan.titles, TABLES.ways).startswith("Hard bar, ")


def test_where_nothing_is_hard_it_is_called_the_hardest(plan: Plan) -> None:
    """There is none before it."""
    study = replace(plan.days[0].studies[0], way="place", nearly=True, hardest=True)
    assert study_words(study, plan.titles, TABLES.ways).startswith("Hardest bar, ")


def test_what_is_for_more_notes_comes_more_often() -> None:
    """Dotted notes in twelve bars have more rows than a crescendo of two."""
    dotted = "A5:3/16 B5 C6:3/16 D6 E6:3/16 D6 C6:3/16 B5 "
    line = f"p {dotted * 11} f {dotted} A5:1/1"
    notes = barred(line, 80).notes
    grows = tuple(
        replace(note, words=("cresc.",)) if note.bar == "10" and not note.at else note for note in notes
    )
    plan = practise(replace(barred(line, 80), notes=grows), flute(), time=PracticeTime(20, 6))
    ways = [study.way for day in plan.days for study in day.studies]
    assert ways.count("rhythm") >= 3
    assert ways.count("rhythm") > ways.count("crescendo")


def test_no_rhythm_is_worked_on_over_the_run_that_leads() -> None:
    """The dotted bars with the run are left out of it, the others have it."""
    dotted = "A5:3/16 B5 C6:3/16 D6 E6:3/16 D6 C6:3/16 B5 "
    notes = barred(dotted * 3 + "A5:1/1 " * 2 + dotted * 3, 80).notes
    place = HardPlace(0, len(notes) // 2 - 2, 80, ("A5 B5",), leads=True)
    spot = Spot(None, 0, 80, (0, 0))
    for places, begins in ((), "1"), ((place,), "6"):
        maker = StudyMaker(notes, (spot,), 1.0, 1, Course(), TABLES, 30, places=places)
        rows = []
        while row := maker.more(5, rows, ("place", "tone", "sections")):
            rows.append(row)
        assert next(row.bars[0] for row in rows if row.way == "rhythm") == begins


def test_no_work_for_the_tongue_is_on_the_bars_that_are_left_out() -> None:
    """While the passage is played without its hardest bars their tongue waits; other runs have it."""
    run = "A5 B5 C6 D6 E6 D6 C6 B5 " * 4
    notes = barred(f"{run} r:1/1 {run}", 120).notes
    spot = Spot(None, 0, 120, (0, 0))
    questions, out = questions_of(notes, FIGURES), Around(1.0, ((0, 15),), "")
    for around, begins in ((None, "1"), (out, "4")):
        maker = StudyMaker(notes, (spot,), 1.0, 1, Course(), TABLES, 30, around=around, questions=questions)
        rows = []
        while row := maker.more(5, rows, ("place", "tone", "sections", "slurs")):
            rows.append(row)
        assert next(row.bars[0] for row in rows if row.way == "double") == begins


def test_the_tongue_waits_for_the_cells_of_its_bars() -> None:
    """No row before a cell there is begun, and none faster than that is then; a repeat is no other music."""
    run = "A5 B5 C6 D6 E6 D6 C6 B5 " * 4
    notes = barred(f"{run} r:1/1 {run}", 120).notes
    spot = Spot(None, 0, 120, (0, 0))
    questions = questions_of(notes, FIGURES)
    for share, begins, most in ((0.0, "4", 1.0), (0.7, "1", 0.7), (1.0, "1", 1.0)):
        ready = {notes[4].id: share}
        maker = StudyMaker(notes, (spot,), 0.6, 1, Course(), TABLES, 30, questions=questions, ready=ready)
        rows = []
        while row := maker.more(5, rows, ("place", "tone", "sections", "slurs")):
            rows.append(row)
        found = next(row for row in rows if row.way == "double")
        assert found.bars[0] == begins
        assert 0.6 < found.share <= most


def test_few_bars_have_two_rows_of_their_own_at_most() -> None:
    """Of a short line in a long passage, in whatever ways."""
    course = Course(rows=((0, 5), (0, 5)))
    run = "A5 B5 C6 D6 E6 D6 C6 B5 " * 10
    notes = barred(f"p (D6:1/4 E6:1/4 F6:1/2) (E6:1/4 D6:1/4 C6:1/2) r:9/1 f {run}", 100).notes
    questions = questions_of(notes, FIGURES)
    assert questions.lines == ((0, 5),)
    spot = Spot(None, 0, 100, (0, 0))
    for known, has in ((Course(), True), (course, False)):
        maker = StudyMaker(notes, (spot,), 1.0, 4, known, TABLES, 30, left=2, questions=questions)
        rows = []
        while row := maker.more(5, rows, ("place", "tone", "sections")):
            rows.append(row)
        assert any(row.way == "phrase" for row in rows) is has


def test_a_line_that_outlasts_a_breath_is_played_whole_though_a_part_of_it_has_a_section() -> None:
    """A section of a bar takes a line of four from the day, none of eight that have no rest."""
    for bars, has in ((8, True), (4, False)):
        notes = barred("p " + "(A5:1/4 B5:1/4 C6:1/4 B5:1/4) " * bars, 100).notes
        spot, questions = Spot(None, 0, 100, (0, 0)), questions_of(notes, FIGURES)
        maker = StudyMaker(notes, (spot,), 1.0, 3, Course(), TABLES, 30, left=2, questions=questions)
        section = Stretch(4, 7, ("2", "2"), 1.0, 100, 1, 1.5, "sections")
        assert maker._is_there(TABLES.ways["phrase"], (0, len(notes) - 1), [section]) is not has


def test_a_section_of_one_side_of_a_sudden_change_is_no_work_on_it() -> None:
    """A row for the change comes beside a section of its second half, not beside one of all of it."""
    notes = barred("f " + "A5:1/4 B5:1/4 " * 8 + "p " + "A5:1/4 B5:1/4 " * 8, 100).notes
    maker = StudyMaker(notes, (Spot(None, 0, 100, (0, 0)),), 1.0, 3, Course(), TABLES, 30, left=2)
    for first, has in ((14, False), (12, True)):
        section = Stretch(first, 31, ("4", "8"), 1.0, 100, 1, 1.5, "sections")
        assert maker._is_there(TABLES.ways["contrasts"], (12, 20), [section]) is has


def test_a_line_does_not_come_again_on_the_day_after() -> None:
    """With time left on day 3 one of day 2 waits, one of day 1 and the last day's come."""
    notes = barred("p " + "(A5:1/4 B5:1/4 C6:1/2) (B5:1/4 A5:1/4 G5:1/2) " * 4, 100).notes
    spot, questions, way = Spot(None, 0, 100, (0, 0)), questions_of(notes, FIGURES), TABLES.ways["phrase"]
    assert questions.lines == ((0, len(notes) - 1),)
    for used, left, comes in ((2, 3, False), (1, 3, True), (2, 1, True)):
        course = Course({"phrase": used}, done=(("phrase", 0, len(notes) - 1),))
        maker = StudyMaker(notes, (spot,), 1.0, 3, course, TABLES, 30, left=left, questions=questions)
        assert bool(maker._on_bars(way, spot, 5, (), again=True)) is comes, (used, left)


def test_a_line_that_had_rows_for_its_parts_alone_is_whole_on_the_last_day() -> None:
    """Beside other work on bars, before what no row had; not where a day had it whole."""
    song = "(A5:1/4 B5:1/4 C6:1/2) (B5:1/4 A5:1/4 G5:1/2) "
    run = "G5 A5 B5 C6 D6 C6 B5 A5 G5 A5 B5 C6 D6 C6 B5 A5 "
    notes = barred(f"p {song * 4} r:9/1 f {run * 8}", 100).notes
    end, questions = 6 * 4 - 1, questions_of(notes, FIGURES)
    assert questions.lines[0] == (0, end)
    spots = (Spot(0, end + 4, 100, (end + 3, end + 4)),)
    there = (Stretch(end + 70, end + 90, ("20", "21"), 1.0, 100, 2, 1.5, "accents"),)
    for used, whole in (({}, True), ({"phrase": 2}, False)):
        course = Course(used, rows=((0, end // 2), (end // 2 + 1, end)))
        maker = StudyMaker(notes, spots, 1.0, 4, course, TABLES, 30, left=1, questions=questions)
        row = maker.more(5, there, ("place", "tone"))
        assert row
        assert ((row.way, row.first, row.last) == ("phrase", 0, end)) is whole


def test_sudden_changes_are_worked_on_before_the_last_day() -> None:
    """From f to p in one bar of many runs: a row on one day, not the first nor the last."""
    run = "(A5 B5 C6 D6 E6 D6 C6 B5) " * 2
    passage = barred(f"f {run * 8} A5:1/1 p B5:1/1 {run * 8}", 120)
    days = practise(passage, flute(), time=PracticeTime(20, 5)).days
    assert [day.day for day in days if any(each.way == "contrasts" for each in day.studies)] in (
        [2],
        [3],
        [4],
    )


def test_the_part_is_listened_to_on_the_first_day() -> None:
    """Dotted figures, tongued runs and a tune ask for more than a day of fifteen minutes has."""
    run = "G5 A5 B5 C6 D6 C6 B5 A5 G5 A5 B5 C6 D6 C6 B5 A5"
    dotted = "A5:3/16 B5 C6:3/16 D6 E6:3/16 D6 C6:3/16 B5"
    song = "(D6:1/4 E6:1/4 F6:1/2) (E6:1/4 D6:1/4 C6:1/2)"
    line = f"f {dotted} {dotted} {run} {run} r:2/1 p {song} {song} r:3/1 f {run} {dotted}"
    plan = practise(barred(line, 100), flute(), time=PracticeTime(15, 4))
    assert [day.day for day in plan.days for study in day.studies if study.way == "listen"] == [1]


def test_the_double_tongue_comes_back_until_it_is_at_its_tempo_though_sections_have_its_bars() -> None:
    """On the second day after it and on the last; what was at its tempo on two days has no more of it."""
    notes = barred("A5 B5 C6 D6 E6 D6 C6 B5 " * 4, 120).notes
    spot, questions = Spot(None, 0, 120, (0, 0)), questions_of(notes, FIGURES)
    way, whole = TABLES.ways["double"], Stretch(0, len(notes) - 1, ("1", "2"), 1.0, 120, 1, 1.5, "sections")
    for tongued, often, has in ((0.8, 2, True), (1.0, 1, True), (1.0, 2, False)):
        done = (("double", 0, len(notes) - 1),) * often
        course = Course({"double": 3}, tongued=tongued, often={"double": often}, done=done)
        maker = StudyMaker(notes, (spot,), 1.0, 5, course, TABLES, 30, left=1, questions=questions)
        asked = maker._asked(5, [whole], ())
        assert (asked is not None and asked.way == way.id and asked.share == 1) is has
