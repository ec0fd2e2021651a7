"""Hard grace notes do not hold a passage back; a dotted rhythm is worked on and not spoilt."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.oracles.passages import barred, played
from tests.oracles.practice import FIGURES

from gripway.model.passage import Ornament, Passage
from gripway.page.sheet.outlook_words import first_words, grace_words_of_day
from gripway.practice.cells.beat_grid import has_dot
from gripway.practice.cells.cells import find_cells
from gripway.practice.cells.of_ornaments import grace_figure, graces_around, is_ending
from gripway.practice.plan.course import NO_BARS, PLACE
from gripway.practice.plan.outlook import days_of_ornaments
from gripway.practice.plan.plan import Plan
from gripway.practice.ways.around import without
from gripway.practice.ways.way_conditions import is_dotted
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

TURN = "{C#6 B5 A#5} B5:1/4"
EASY = "A5:1/4 G5:1/4 A5:1/4"
LONG = "A5:3/16 B5:1/16 A5:3/16 B5:1/16 A5:3/16 G5:1/16 A5:1/4"


def _plan(text: str, tempo: float = 104) -> Plan:
    return practise(barred(text, tempo), flute(), time=PracticeTime(20, 4))


def _shares(plan: Plan) -> list[float]:
    return [day.passage.share for day in plan.days if day.passage]


def test_grace_notes_that_are_hard_do_not_hold_the_passage_back() -> None:
    """All that is hard is a turn: the passage is at its tempo, the drills of the turn below it at first."""
    plan = _plan(f"{TURN} {EASY} {EASY} A5:1/4 " * 4)
    assert plan.ornaments
    assert all(planned.of_ornament and not planned.holds_back for planned in plan.cells)
    assert {*_shares(plan)} == {1.0}
    assert plan.days[0].items[-1].start < plan.cells[0].ladder.target


def test_the_same_notes_as_notes_hold_it_back() -> None:
    """Sixteenths as hard as these are no ornament."""
    plan = _plan("C#6:1/32 B5:1/32 A#5:1/32 B5:5/32 " + EASY + " " + EASY + " A5:1/4")
    assert plan.cells
    assert not plan.ornaments
    assert _shares(plan)[0] < 1


def test_the_plan_says_how_the_grace_notes_are_played() -> None:
    """In the first lines, with their bar, and from which day on; nothing of it where there are none."""
    plan = _plan(f"{TURN} {EASY} {EASY} A5:1/4 " * 2, 160)
    days = {*days_of_ornaments(plan, FIGURES).values()}
    assert min(filter(None, days)) > 1
    told = first_words(plan, FIGURES)
    assert "without the 3 hard grace notes before B5 in bars 1 and 3 at first" in told
    assert f"with them from day {min(filter(None, days))} on, the first time two tempos slower" in told
    assert "grace" not in first_words(_plan(f"{EASY} A5:1/4"), FIGURES)


def test_the_changes_of_one_group_of_grace_notes_are_one_ornament() -> None:
    """C6 to Bb5 and A5 to Bb5 are hard in one group: one has drills, the other is not left for later."""
    plan = _plan("G5:1/8 Bb5:1/8 G5:1/8 Bb5:1/8 {C6 Bb5 A5} Bb5:1/8 r:3/8 " * 2, 124)
    notes = plan.route.passage.notes
    groups = [{*graces_around(notes, planned.cell.place)} for planned in plan.cells]
    hard = [
        cell for cell in find_cells(plan.line, FIGURES) if {*graces_around(notes, cell.place)} & groups[0]
    ]
    assert len(hard) > 1
    assert not any({*graces_around(notes, cell.place)} & group for cell in plan.left for group in groups)


@pytest.mark.parametrize("tempo", [160, 200, 240])
def test_grace_notes_do_not_come_back_on_the_last_day_only(tempo: float) -> None:
    """By the last day but one they are in, or they stay out."""
    plan = _plan(f"{TURN} {EASY} {EASY} A5:1/4 " * 2, tempo)
    found = days_of_ornaments(plan, FIGURES)
    assert found
    assert all(day is None or day < plan.days[-1].day for day in found.values())


def test_an_ornament_that_no_day_works_on_is_not_left_out() -> None:
    """No drill would ever bring it back."""
    plan = _plan(f"{TURN} {EASY} {EASY} A5:1/4 " * 2, 160)
    cell = plan.cells[0].cell
    days = tuple(replace(day, items=(), studies=()) for day in plan.days)
    bare = replace(plan, cells=(), left=(cell,), left_ornaments=(cell,), days=days)
    assert days_of_ornaments(plan, FIGURES)
    assert bare.ornaments
    assert not days_of_ornaments(bare, FIGURES)


def test_a_day_says_whether_the_grace_notes_are_played() -> None:
    """Without them until they have been drilled at the tempo of the passage, with them on that day."""
    plan = _plan(f"{TURN} {EASY} {EASY} A5:1/4 " * 2, 160)
    days = days_of_ornaments(plan, FIGURES).values()
    for day in plan.days:
        told = grace_words_of_day(plan, day)
        assert ("Leave the " in told) is any(then is None or then > day.day for then in days)
        rows = any(study.way not in (PLACE, *NO_BARS) for study in day.studies)  # of one bar and its repeat
        assert ("today, also where a row prints them" in told) is ("Leave the " in told and rows)
        plain = grace_words_of_day(plan, replace(day, studies=()))
        assert ("Leave the " in plain, "also" in plain) == ("Leave the " in told, False)
        assert ("From today" in told) is (day.day in days)


def test_grace_notes_come_back_in_the_slower_times_of_a_day() -> None:
    """Where the passage goes once without hard bars, and faster, that time is not told to be slower."""
    plan = _plan(f"{TURN} {EASY} {EASY} A5:1/4 " * 2, 160)
    back = next(day for day in plan.days if "From today" in grace_words_of_day(plan, day))
    assert back.passage
    without_bar_1 = without([(0, 3)], 1.0, plan.route.passage.notes)
    around = replace(back, passage=replace(back.passage, around=without_bar_1))
    assert "the first time two tempos slower" in grace_words_of_day(plan, back)
    assert grace_words_of_day(plan, around).endswith(", but not yet where it goes without bar 1.")


def test_the_same_grace_notes_are_left_out_in_all_their_bars() -> None:
    """A turn stands in bar 1 beside one that is ready later, and alone in bar 3: both bars wait for that."""
    plan = _plan(f"{TURN} {{E5 D5 C#5}} D5:1/4 A5:1/4 G5:1/4 {EASY} A5:1/4 {TURN} {EASY}", 160)
    notes = plan.route.passage.notes
    days = days_of_ornaments(plan, FIGURES)
    figures_in = {bar: {grace_figure(notes, to) for to in days if notes[to].bar == bar} for bar in ("1", "3")}
    assert figures_in["3"] < figures_in["1"]
    assert len({*days.values()}) == 1


def test_grace_notes_that_are_not_quick_are_never_left_out() -> None:
    """Where there is room for them; nothing is said of them, and their ladder begins high."""
    plan = _plan(f"{TURN} {EASY} {EASY} A5:1/4 " * 2, 60)
    length = min(note.length_ms for note in plan.route.passage.notes if note.grace)
    assert length >= FIGURES.grace_easy_ms
    assert "grace" not in first_words(plan, FIGURES)
    assert not days_of_ornaments(plan, FIGURES)


def test_a_dotted_passage_has_its_rhythm_every_second_day() -> None:
    """At least, from the first day on, but for the last; an even one is none."""
    plan = practise(barred(f"{LONG} " * 8, 120), flute(), time=PracticeTime(20, 5))
    assert is_dotted(plan.route.passage.notes, FIGURES)
    days = [day.day for day in plan.days if any(study.way == "rhythm" for study in day.studies)]
    assert days[0] == 1
    assert all({day, day + 1} & {*days} for day in (1, 2, 3))
    assert not is_dotted(played("E5 F5 G5 A5 G5 F5 E5 D5", 120).notes, FIGURES)


def test_no_other_rhythm_over_a_dotted_one() -> None:
    """Drills in rhythms over even notes; over the same notes dotted, none."""
    even, dotted = (
        _plan(text, 180) for text in ("E6 F#6 E6 F#6 " * 4, "E6:3/16 F#6:1/16 E6:3/16 F#6:1/16 " * 4)
    )
    assert any(drill.kind == "rhythm" for planned in even.cells for drill in planned.drills)
    assert dotted.cells
    assert not any(drill.kind == "rhythm" for planned in dotted.cells for drill in planned.drills)


def test_a_dot_belongs_to_a_short_note() -> None:
    """A dotted eighth and a sixteenth; not a dotted quarter and a quarter."""
    line: Passage = played("A5:3/16 B5:1/16 A5:3/8 B5:1/4", 96)
    one, short, long, quarter = line.notes
    assert has_dot(one, short)
    assert not has_dot(long, quarter)
    assert not has_dot(replace(one, length=short.length), short)


def test_the_written_ending_of_a_trill_does_not_hold_the_passage_back() -> None:
    """Two sixteenths after a trill are its ending; the same ones after a plain note are notes of the line."""
    line = played("D6:1/2 E6:1/4 D5:3/8 C#5:1/16 D5:1/16 F#5:1/4 G5:1/2", 240)
    trill = replace(line.notes[2], ornament=Ornament("trill"))
    of_trill = replace(line, notes=(*line.notes[:2], trill, *line.notes[3:]))
    plain, ended = (practise(each, flute(), time=PracticeTime(20, 3)) for each in (line, of_trill))
    assert any(planned.holds_back for planned in plain.cells)
    assert any(planned.of_ornament for planned in ended.cells)
    assert not any(planned.holds_back for planned in ended.cells)
    assert [at for at in range(7) if is_ending(of_trill.notes, at)] == [3, 4]


def test_a_tight_ending_comes_before_a_change_that_has_time() -> None:
    """B4 C#5 after a trill comes late; G#6 A6 four times has time."""
    often = "G#6:1/8 A6:1/4 E5:1/8 r:1/2 " * 4
    line = played(f"{often}D6:1/2 E6:1/4 C#5:3/8 B4:1/16 C#5:1/16 E5:1/4 G5:1/2", 280)
    trill = next(at for at, note in enumerate(line.notes) if note.length == Fraction(3, 8))
    notes = [*line.notes]
    notes[trill] = replace(notes[trill], ornament=Ornament("trill"))
    plan = practise(replace(line, notes=tuple(notes)), flute(), time=PracticeTime(25, 5))
    loads = [each.cell.load for each in plan.cells if not each.cell.trill]
    ending = next(each.cell for each in plan.cells if each.of_ornament)
    assert ending.load >= FIGURES.tight_load > min(loads)
    assert loads.index(ending.load) < loads.index(min(loads))


def test_hard_grace_notes_stand_in_no_drill_of_a_change_beside_them() -> None:
    """The plan says to play without them: in its bar the run has none, the turn has."""
    plan = _plan(f"{TURN} (E6:1/16 F#6:1/16 G#6:1/16 A6:1/16) {EASY[:13]} " * 4, 160)
    whole = {
        planned.of_ornament: [drill for drill in planned.drills if drill.kind == "overlap"]
        for planned in plan.cells
    }
    assert whole[False]
    assert not any(note.grace for drill in whole[False] for note in drill.passage.notes)
    names = [note.pitch.name for note in whole[False][-1].passage.notes]
    assert "B5" in names
    assert "A#5" not in names
    assert any(note.grace for drill in whole.get(True, []) for note in drill.passage.notes)
