"""Which lines have no rest for a breath, and what else the music asks for."""

from dataclasses import replace

import pytest
from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES

from gripway.model.passage import Note
from gripway.practice.plan.plan import Plan
from gripway.practice.studies.bar_rows import LINE_SHARE
from gripway.practice.ways.breathing import LongLine, breath_words, long_lines, outlasts_a_breath
from gripway.practice.ways.questions import is_asked, questions_of
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

RUN = "G5 A5 B5 C6 D6 C6 B5 A5 G5 A5 B5 C6 D6 C6 B5 A5"
SLURRED = f"({RUN})"
ENDS_LONG = "G5 A5 B5 C6 D6 C6 B5 A5 G5:1/2"


def notes_of(*bars: str, tempo: float = 100) -> tuple[Note, ...]:
    """Bars of four quarters."""
    return barred(" ".join(bars), tempo).notes


def test_a_line_without_a_rest_is_told_with_its_bars() -> None:
    """Six bars of running notes are one, longer than a breath; no place in it is named."""
    notes = notes_of(*[RUN] * 6)
    (line,) = long_lines(notes, FIGURES)
    assert line.bars == ("1", "6")
    assert line.lasts_s == pytest.approx(6 * 2.4)
    assert breath_words((line,), 3) == "bars 1 to 6: no rest for a breath in 14 s"


def test_lines_as_long_as_those_that_are_told_are_not_passed_over() -> None:
    """Of four lines as long no three are picked: it is so all through."""
    lines = [LongLine((f"{at}", f"{at + 5}"), lasts) for at, lasts in enumerate((16.2, 21.0, 16.1, 15.9))]
    assert breath_words(lines, 2) == "all through, no rest for a breath in 16 to 21 s"
    assert breath_words(lines[:2], 1) == "bars 1 to 6: no rest for a breath in 21 s"


def test_rests_end_a_line() -> None:
    """Where rests are near enough there is no such line."""
    assert not long_lines(notes_of(RUN, "r:1/4", RUN, "r:1/4", RUN), FIGURES)
    both = long_lines(notes_of(*[RUN] * 6, "r:1/1", *[RUN] * 7), FIGURES)
    assert [line.bars for line in both] == [("1", "6"), ("8", "14")]


def test_a_breath_is_asked_between_notes_and_not_within_one_that_is_held() -> None:
    """A note held through seven bars is no such line by itself; with a note before it it is."""
    held = "C6:7/1"
    assert not long_lines(notes_of(held, "r:1/1", RUN), FIGURES)
    (line,) = long_lines(notes_of("A5:1/1", held, "r:1/1", RUN), FIGURES)
    assert line.ends == (0, 1)


def test_a_slur_that_outlasts_a_breath_is_named() -> None:
    """Seven bars under one slur, then as many under two: where the first is broken is told, no place."""
    seven = " ".join([RUN] * 7)
    (line,) = long_lines(notes_of(f"({seven})", "C6:1/1 r:1/1"), FIGURES)
    assert breath_words((line,), 3) == (
        "bars 1 to 8: no rest for a breath in 19 s, the slur of bars 1 to 7 lasts 17 s: "
        "break it where that is least heard"
    )
    half = " ".join([RUN] * 4)
    (line,) = long_lines(notes_of(f"({half})", f"({half})", "r:1/1"), FIGURES)
    assert line.slur is None


def test_of_repeated_notes_one_is_left_out_for_a_breath() -> None:
    """Six bars of fours of a note are told so, running ones are not."""
    fours = "A5 A5 A5 A5 B5 B5 B5 B5 C6 C6 C6 C6 D6 D6 D6 D6"
    (line,) = long_lines(notes_of(*[fours] * 6), FIGURES)
    assert breath_words((line,), 3) == (
        "bars 1 to 6: no rest for a breath in 14 s: leave out one of the repeated notes, two players by turns"
    )
    (line,) = long_lines(notes_of(*[RUN] * 6), FIGURES)
    assert not line.repeats


def test_the_longest_lines_are_named_in_the_order_of_the_part() -> None:
    """Of three no more than two, the shortest left out."""
    lines = [LongLine(("1", "4"), 20.0), LongLine(("6", "8"), 15.0), LongLine(("9", "20"), 40.0)]
    assert (
        breath_words(lines, 2)
        == "bars 1 to 4: no rest for a breath in 20 s; bars 9 to 20: no rest for a breath in 40 s"
    )


def test_a_line_played_again_is_told_once() -> None:
    """The same written notes of a second time through are no second line."""
    notes = notes_of(*[RUN] * 6)
    late = notes[-1].onset_ms + 1000
    again = [replace(note, onset_ms=note.onset_ms + late, time_through=2) for note in notes]
    assert len(long_lines([*notes, *again], FIGURES)) == 1


@pytest.fixture(scope="module")
def running() -> Plan:
    """A plan of five days for running notes without a rest or a dynamic."""
    return practise(barred(" ".join([RUN, ENDS_LONG] * 6), 100), flute(), time=PracticeTime(25, 5))


def test_the_breaths_are_marked_before_all_else(running: Plan) -> None:
    """On the first day and no other, first of all, with the bars that have no rest."""
    ways = [[getattr(work, "way", "") for work in day.works] for day in running.days]
    assert ways[0][0] == "breaths"
    assert not any("breaths" in day for day in ways[1:])
    study = running.days[0].studies[0]
    assert study.about == "(bars 1 to 12: no rest for a breath in 29 s)"


def test_a_slow_line_outlasts_a_breath() -> None:
    """Four bars at 100 are short enough, at half the tempo they are not; a rest parts them at either."""
    line, rest = " ".join([RUN] * 4), f"{RUN} {RUN} r:1/8 {RUN} {RUN}"
    assert not outlasts_a_breath(notes_of(line), 1.0, FIGURES)
    assert outlasts_a_breath(notes_of(line), 0.5, FIGURES)
    assert not outlasts_a_breath(notes_of(rest), 0.5, FIGURES)


def test_a_line_that_is_longer_than_a_breath_waits_for_its_tempo() -> None:
    """No row of it is slower than it may be, and there is one."""
    hard = "D#6 E6 F#6 G#6 A6 G#6 F#6 E6 D#6 C#6 B5 A5 G#5 F#5 E5 D#5"
    sung = "(E5:1/2 F5:1/2) (G5:1/2 A5:1/2) (B5:1/2 C6:1/2) (B5:1/2 A5:1/2)"
    plan = practise(barred(f"p {sung} {sung} r:1/1 {hard} r:1/1", 144), flute(), time=PracticeTime(20, 5))
    lines = [study for day in plan.days for study in day.studies if study.way == "phrase"]
    assert lines
    assert min(day.passage.share for day in plan.days if day.passage) < LINE_SHARE
    assert all(study.share >= LINE_SHARE for study in lines)


def test_tongued_music_has_tongue_work_early(running: Plan) -> None:
    """Within the first two days."""
    assert {study.way for day in running.days[:2] for study in day.studies} & {"single", "double"}


def test_music_asks_for_what_it_has() -> None:
    """Dotted music and off-beats for rhythm, running tongued notes for the tongue, lines for breath."""
    dotted = " ".join(["A5:3/16 B5 C6:3/16 D6 E6:3/16 D6 C6:3/16 B5"] * 4)
    assert "rhythm" in questions_of(notes_of(dotted), FIGURES).ways
    off = notes_of(*["G5:1/8 r:1/8 r:1/8 A5:1/8 r:1/8 B5:1/8 r:1/8 C6:1/8"] * 4, tempo=126)
    assert "rhythm" in questions_of(off, FIGURES).ways
    assert {"double", "triple"} <= {*questions_of(notes_of(RUN, RUN, tempo=112), FIGURES).ways}
    assert "single" not in questions_of(notes_of(RUN, RUN, tempo=112), FIGURES).ways
    assert "single" in questions_of(notes_of(RUN, RUN, tempo=95), FIGURES).ways
    assert "phrase" not in questions_of(notes_of(RUN, RUN), FIGURES).ways
    assert "phrase" in questions_of(notes_of("(D6:1/2 E6:1/2)", "(D6:1/2 C6:1/2)"), FIGURES).ways
    assert "single" not in questions_of(notes_of(SLURRED, SLURRED), FIGURES).ways


def test_rhythm_comes_every_second_day() -> None:
    """Not on the last day; the tongue every second day; the line in the last three."""
    assert [is_asked("rhythm", day, 5 - day, 0) for day in (1, 2, 3, 4)] == [True] * 3 + [False]
    assert not is_asked("rhythm", 3, 2, 2)
    assert not is_asked("single", 3, 2, 2)
    assert is_asked("single", 3, 2, 1)
    assert [is_asked("phrase", day, 6 - day, 0) for day in (1, 2, 3)] == [False, False, True]


def test_notes_are_held_softly_where_all_is_soft() -> None:
    """The long notes of a soft part are soft, those that enter high come once, and first."""
    soft = barred(f"p {RUN} r:1/1 F6:1/4 {RUN} r:1/1 C6:1/1 B5:1/1 {RUN} {RUN} {RUN} {RUN} {RUN} E4:1/1", 60)
    plan = practise(soft, flute(), time=PracticeTime(20, 5))
    opened = [
        study.way for day in plan.days for study in day.studies if study.way in ("tone", "soft", "starts")
    ]
    assert opened == ["starts", "soft", "soft"]


def test_a_short_rest_is_a_breath_at_its_edge() -> None:
    """A rest of `breath_rest_ms` with a quarter of the note before it ends a line; quicker it does not.

    So does an eighth's rest after a quarter at 130, none after a sixteenth.
    """
    at = 60_000 / FIGURES.breath_rest_ms / 2
    figures = replace(FIGURES, breath_most_s=1.0)
    eighths, quarter, short = "B5:1/8 r:1/8", "B5:1/4 r:1/8", "B5:1/16 r:1/8"
    for end, tempo, lines in (
        (eighths, at * 1.25, 3),
        (eighths, at * 1.26, 1),
        (quarter, 170, 3),
        (short, 170, 1),
        (quarter, 202, 1),
    ):
        notes = notes_of(*[f"G5:1/8 A5:1/8 {end} C6:1/8 D6:1/8 C6:1/8 B5:1/8"] * 3, tempo=tempo)
        found = long_lines(notes, replace(figures, breath_most_s=0.5))
        assert (len(found) > 1) is (lines > 1)
