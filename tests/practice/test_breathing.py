"""Where one breathes: never in a slur, no stretch too long where there is a place, at the least cost."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES, TABLES

from gripway.model.passage import Note
from gripway.practice.plan.plan import Plan
from gripway.practice.ways.breathing import (
    EVENLY,
    LONG,
    PLAIN,
    REST,
    SEAM,
    breath_words,
    breathing_of,
)
from gripway.practice.ways.questions import is_asked, questions_of
from gripway.practice.ways.way_conditions import suits
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

RUN = "G5 A5 B5 C6 D6 C6 B5 A5 G5 A5 B5 C6 D6 C6 B5 A5"
SLURRED = f"({RUN})"
ENDS_LONG = "G5 A5 B5 C6 D6 C6 B5 A5 G5:1/2"


EIGHT_S = replace(FIGURES, breath_most_s=8.0)
"""A shorter breath than that of the table, so that these lines need one."""


def notes_of(*bars: str, tempo: float = 100) -> tuple[Note, ...]:
    """Bars of four quarters."""
    return barred(" ".join(bars), tempo).notes


def stretches_s(notes: Sequence[Note], after: Sequence[int]) -> list[float]:
    """How long it is from breath to breath (s)."""
    ends = [-1, *after, len(notes) - 1]
    return [
        (notes[end].onset_ms + notes[end].length_ms - notes[begin + 1].onset_ms) / 1000
        for begin, end in pairwise(ends)
    ]


def test_one_breathes_after_the_long_note() -> None:
    """Of running bars with one long note the breath is after it; a slur is never broken."""
    notes = notes_of(SLURRED, RUN, ENDS_LONG, RUN, SLURRED)
    found = breathing_of(notes, EIGHT_S)
    assert [(notes[each.after].bar, each.kind) for each in found.to_mark] == [("3", LONG)]
    assert found.longest_s <= EIGHT_S.breath_most_s < found.without_rest_s
    assert not any(notes[each.after + 1].slurred for each in found.breaths)


def test_rests_are_breaths() -> None:
    """Where rests are near enough nothing is to be marked; the stretch is from rest to rest."""
    found = breathing_of(notes_of(RUN, "r:1/4", RUN, "r:1/4", RUN), FIGURES)
    assert not found.to_mark
    assert {each.kind for each in found.breaths} == {REST}
    assert found.without_rest_s == found.longest_s == pytest.approx(2.4)


def test_where_a_figure_comes_again_is_a_better_place_than_any_between_equal_notes() -> None:
    """Of tongued sixteenths that are all alike the bar line between two like bars is taken."""
    found = breathing_of(notes_of(*[RUN] * 6), FIGURES)
    assert {each.kind for each in found.to_mark} == {SEAM}
    assert all(each.at_bar_line for each in found.to_mark)


def test_without_a_place_the_stretch_is_as_long_as_it_must_be() -> None:
    """Six slurred bars in one breath: nothing is marked, and the length is told."""
    long_slur = f"({' '.join([RUN] * 6)})"
    found = breathing_of(notes_of(long_slur), FIGURES)
    assert not found.breaths
    assert found.longest_s == found.without_rest_s == pytest.approx(14.4)


@given(st.lists(st.sampled_from(["A5", "B5", "E6", "A5:1/4", "C6:1/2", "(D6 E6)"]), min_size=4, max_size=9))
def test_no_other_breaths_cost_less(words: list[str]) -> None:
    """All sets of places tried one by one: none that keeps to the longest stretch is cheaper."""
    notes = notes_of(" ".join(words))
    figures = replace(FIGURES, breath_most_s=1.5, breath_least_s=0.0)
    found = breathing_of(notes, figures)
    most_s = 1.5
    open_places = [
        place
        for place, (note, after) in enumerate(pairwise(notes))
        if not (
            after.slurred or (note.length_ms < figures.breath_takes_ms and note.length * 2 <= after.length)
        )
    ]

    def cost(after: Sequence[int]) -> float:
        taken = [min(2.0, figures.breath_takes_ms / notes[place].length_ms) for place in after]
        plain = sum(_is_plain(notes, place) for place in after)
        even = EVENLY * sum((each / most_s) ** 2 for each in stretches_s(notes, after))
        return sum(taken) + figures.breath_plain_cost * plain + even

    def _is_plain(line: Sequence[Note], place: int) -> bool:
        wide = abs(line[place + 1].pitch.number - line[place].pitch.number) >= figures.breath_leap_semitones
        return not (line[place].length_ms >= figures.breath_long_ms or wide or line[place].slurred)

    tried = [
        after
        for count in range(len(open_places) + 1)
        for after in combinations(open_places, count)
        if max(stretches_s(notes, after)) <= most_s
    ]
    if not tried:
        assert found.longest_s > most_s
        return
    assert cost([each.after for each in found.breaths]) == pytest.approx(min(map(cost, tried)))
    assert all((each.kind == PLAIN) == _is_plain(notes, each.after) for each in found.breaths)


def test_words_name_the_note_and_its_bar() -> None:
    """A note that comes twice in its bar is told by its number; the bar line by the bar after it.

    A seam after quick notes is not named: the player finds a place.
    """
    notes = notes_of(SLURRED, RUN, "G5 A5 B5 C6 D6 C6 B5 A5 G5:3/8 A5 B5", RUN, SLURRED)
    assert breath_words(breathing_of(notes, EIGHT_S), notes, 8) == (
        "no rest for 12 s: try after the second G5 in bar 3"
    )
    quick = notes_of(*[RUN] * 6)
    assert breath_words(breathing_of(quick, FIGURES), quick, 8) == "no rest for 14 s"
    again = notes_of(*[RUN] * 6, tempo=60)
    assert "before bar" in breath_words(breathing_of(again, FIGURES), again, 8)
    longer = notes_of(*[RUN] * 30, tempo=60)
    assert breath_words(breathing_of(longer, FIGURES), longer, 2).endswith(", and so on")


@pytest.fixture(scope="module")
def running() -> Plan:
    """A plan of five days for running notes without a rest or a dynamic."""
    return practise(barred(" ".join([RUN, ENDS_LONG] * 6), 100), flute(), time=PracticeTime(25, 5))


def test_the_breaths_are_marked_before_all_else(running: Plan) -> None:
    """On the first day and no other, first of all; the line again in the last days."""
    ways = [[getattr(work, "way", "") for work in day.works] for day in running.days]
    assert ways[0][0] == "breaths"
    assert not any("breaths" in day for day in ways[1:])
    assert any("phrase" in day for day in ways[2:])
    study = running.days[0].studies[0]
    assert study.about.startswith("(no rest for")


def test_tongued_music_has_tongue_work_early(running: Plan) -> None:
    """Within the first two days."""
    assert {study.way for day in running.days[:2] for study in day.studies} & {"single", "double"}


def test_music_asks_for_what_it_has() -> None:
    """Dotted music for rhythm, running tongued notes for the tongue, echo only where no dynamics are."""
    dotted = " ".join(["A5:3/16 B5 C6:3/16 D6 E6:3/16 D6 C6:3/16 B5"] * 4)
    assert "rhythm" in questions_of(notes_of(dotted), FIGURES).ways
    plain = notes_of(RUN, RUN)
    assert {"single", "echo"} <= {*questions_of(plain, FIGURES).ways}
    shaded = [replace(note, dynamic="p" if note.bar == "1" else "f") for note in plain]
    assert "echo" not in questions_of(shaded, FIGURES).ways
    assert "single" not in questions_of(notes_of(SLURRED, SLURRED), FIGURES).ways


def test_rhythm_comes_daily_until_the_passage_is_at_its_tempo() -> None:
    """Not on the last day; the tongue every second day; the line in the last three."""
    assert [is_asked("rhythm", day, 5 - day, day - 1, at_tempo=False) for day in (1, 2, 3, 4)] == [
        True
    ] * 3 + [False]
    assert not is_asked("rhythm", 3, 2, 2, at_tempo=True)
    assert not is_asked("single", 3, 2, 2, at_tempo=False)
    assert is_asked("single", 3, 2, 1, at_tempo=False)
    assert [is_asked("phrase", day, 6 - day, 0, at_tempo=False) for day in (1, 2, 3)] == [False, False, True]


def test_nothing_contradicts_what_is_written() -> None:
    """No soft and loud where all is soft, no other articulation over staccato."""
    quiet = [replace(note, dynamic="pp") for note in notes_of(RUN, RUN)]
    loud = [replace(note, dynamic="f") for note in quiet]
    short = [replace(note, articulations=("staccato",)) for note in loud]
    ways = TABLES.ways
    assert not suits(ways["dynamics"], quiet, FIGURES, hard=True)
    assert suits(ways["dynamics"], loud, FIGURES, hard=True)
    assert suits(ways["other"], loud, FIGURES, hard=True)
    assert not suits(ways["other"], short, FIGURES, hard=True)


def test_notes_are_held_softly_where_all_is_soft() -> None:
    """The long notes of a soft part are soft, every third time for their beginnings."""
    soft = barred(f"p {' '.join([RUN] * 4)}", 60)
    if not all(note.dynamic == "p" for note in soft.notes):
        soft = replace(soft, notes=tuple(replace(note, dynamic="p") for note in soft.notes))
    plan = practise(soft, flute(), time=PracticeTime(20, 5))
    opened = [
        study.way for day in plan.days for study in day.studies if study.way in ("tone", "soft", "starts")
    ]
    assert opened[:3] == ["soft", "starts", "soft"]


def test_no_breath_cuts_a_run_from_the_note_it_goes_to() -> None:
    """Sixteenths into a long note: the breath is after that note, not before it."""
    notes = notes_of(*[f"{'G5 A5 B5 C6 ' * 3}D6:1/4 "] * 4)
    cut = [place for place in range(len(notes) - 1) if notes[place + 1].length > notes[place].length]
    found = breathing_of(notes, replace(FIGURES, breath_most_s=3.0))
    assert cut
    assert found.to_mark
    assert not {each.after for each in found.breaths} & {*cut}


def test_a_short_rest_is_a_breath_at_its_edge() -> None:
    """An eighth's rest that lasts `breath_rest_ms` is one; a little quicker it is none."""
    at = 60_000 / FIGURES.breath_rest_ms / 2
    for tempo, rests in ((at, 3), (at * 1.02, 0)):
        notes = notes_of(*["G5:1/8 A5:1/8 B5:1/8 r:1/8 C6:1/8 D6:1/8 C6:1/8 B5:1/8"] * 3, tempo=tempo)
        found = breathing_of(notes, FIGURES)
        assert sum(each.kind == REST for each in found.breaths) == rests


def test_no_breath_is_sooner_than_there_is_need_for_air() -> None:
    """Two seconds after a rest none is marked, though the longest note of the line stands there."""
    line = ["G5:1/2 A5:1/2", RUN, RUN, RUN]
    for least, early in ((FIGURES.breath_least_s, False), (0.0, True)):
        figures = replace(FIGURES, breath_most_s=9.0, breath_least_s=least)
        found = breathing_of(notes_of(*line), figures)
        assert any(each.after < 2 for each in found.breaths) is early
