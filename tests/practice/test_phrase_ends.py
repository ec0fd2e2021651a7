"""Work begins with the upbeat and ends on the note the phrase goes to; sections are whole phrases."""

from dataclasses import replace

import pytest
from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES, TABLES

from gripway.model.passage import Note
from gripway.practice.plan.course import mostly_in
from gripway.practice.ways.fitting_bars import fitting_bars, tongues_of
from gripway.practice.ways.lines import singing_lines
from gripway.practice.ways.phrase_ends import from_upbeat, out_of_slur, to_arrival, to_slur_end, whole_line
from gripway.practice.ways.questions import questions_of
from gripway.practice.ways.sections import needing, needs_of, pieces, run_of
from gripway.practice.ways.uneven import is_between, is_dense, is_odd
from gripway.practice.ways.whole_passage import study_words
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

QUICK = "A5:1/8 B5:1/8 C6:1/8 B5:1/8 A5:1/8 G5:1/8 F5:1/8 E5:1/8"
RUN = "A5 B5 C6 D6 E6 D6 C6 B5 A5 B5 C6 D6 E6 D6 C6 B5"
DOTTED_SAME = "C6:3/16 C6 C6:3/16 C6 C6:3/16 C6 C6:3/16 C6"


def notes_of(line: str, tempo: float = 120) -> tuple[Note, ...]:
    """Bars of 4/4."""
    return barred(line, tempo).notes


def last_of(notes: tuple[Note, ...], bar: str) -> int:
    """The last note of a bar."""
    return max(place for place, note in enumerate(notes) if note.bar == bar)


@pytest.mark.parametrize(
    ("after", "wanted"),
    [
        ("A5:1/2 B5:1/2", 1),  # the first note of the next bar
        ("r:1/4 A5:1/4 B5:1/2", 0),  # nothing over a rest
    ],
)
def test_work_ends_on_the_note_it_goes_to(after: str, wanted: int) -> None:
    """On the first note of the next bar where no rest comes before it; on a first note it stays."""
    notes = notes_of(f"{QUICK} {after}")
    last = last_of(notes, "1")
    assert to_arrival(notes, last) == last + wanted
    assert to_arrival(notes, to_arrival(notes, last)) == last + wanted


def test_a_bar_with_nothing_but_an_upbeat_goes_on_to_its_downbeat() -> None:
    """A6 alone at the end of its bar; alone on the first beat it is where work ends."""
    notes = [replace(note, at=note.onset % 1) for note in notes_of("A5:1/1 r:7/8 A6:1/8 D6:1/2 r:1/2 C6:1/4")]
    assert to_arrival(notes, 1) == 2
    assert to_arrival(notes, 2) == 2


def test_a_slur_over_the_end_is_played_to_its_last_note() -> None:
    """One that goes on over more than the next bar to the first note of that."""
    notes = notes_of("A5:1/2 (B5:1/2 C6:1/4 D6:1/4) E6:1/2 F6:1/1")
    assert to_slur_end(notes, 1) == 3
    assert to_slur_end(notes, 4) == 4
    long = notes_of("A5:1/2 (B5:1/2 C6:1/4 D6:1/4 E6:1/2 F6:1/1)")
    assert to_slur_end(long, 1) == 2
    assert out_of_slur(notes, 2) == 4
    assert out_of_slur(notes, 0) == 0


def test_work_begins_with_the_upbeat() -> None:
    """The first note after a rest within a beat, or the first of a slur."""
    notes = notes_of("A5:1/2 r:1/4 B5:1/8 C6:1/8 D6:1/1 (E6:1/2 F6:1/2 G6:1/1)")
    assert from_upbeat(notes, 3) == 1
    assert from_upbeat(notes, 6) == 4


def test_a_row_says_that_it_ends_on_a_first_note() -> None:
    """`bars 5 to 6, on to the first note of 7`; not of notes that are held one by one."""
    dotted = "A5:3/16 B5 C6:3/16 D6 E6:3/16 D6 C6:3/16 B5"
    plan = practise(barred(" ".join([dotted] * 8), 80), flute(), time=PracticeTime(20, 4))
    row = next(study for day in plan.days for study in day.studies if study.way == "rhythm")
    first, last = row.bars
    assert row.to_first
    bars = f"bars {first} to {int(last) - 1}" if int(last) - 1 > int(first) else f"bar {first}"
    assert f", {bars}, on to the first note of {last}," in study_words(row, plan.titles, TABLES.ways)
    held = study_words(replace(row, way="tone"), plan.titles, TABLES.ways)
    assert f", bars {first} to {last}," in held


def test_a_long_phrase_is_cut_where_something_new_begins() -> None:
    """Fourteen bars without a rest: at the mark in the sixth, not in the middle, nor under a slur."""
    notes = list(notes_of(" ".join([QUICK] * 14)))
    whole = range(14)
    at = next(place for place, note in enumerate(notes) if note.bar == "6")
    marked = [replace(note, dynamic_mark="p" if place == at else "") for place, note in enumerate(notes)]
    assert run_of(whole, 0, 4, pieces(marked), marked) == tuple(range(5))
    assert run_of(whole, 9, 4, pieces(marked), marked) == tuple(range(5, 14))
    firsts = {first for first, _ in pieces(notes)} - {0}
    bound = [replace(note, slurred=place in firsts) for place, note in enumerate(notes)]
    assert run_of(whole, 9, 4, pieces(bound), bound) == tuple(whole)


def test_repeated_low_or_slow_notes_need_no_sections() -> None:
    """Nor does a phrase in which few bars are quick; long bars at its end are left to the passage."""

    def groups(*bars: str) -> list[tuple[int, ...]]:
        notes = notes_of(" ".join(bars))
        found = pieces(notes)
        return needing(needs_of(found, [], notes, FIGURES), found, notes)

    assert groups(*["A4:1/8 " * 8] * 6) == []
    assert groups(*["A4:1/4 B4:1/4 C5:1/4 B4:1/4"] * 6) == []
    assert groups(QUICK, *["A4:1/1"] * 7) == []
    assert groups(*[QUICK] * 4, *["A4:1/1"] * 4) == [(0, 1, 2, 3)]


def test_a_line_begins_where_its_word_stands_and_not_after_a_short_rest_within_it() -> None:
    """Eighteen bars with a rest of a sixteenth in each: cut at the dolce, not at such a rest."""
    bar = "(A5:1/4 C6:3/16) r:1/16 (D6:1/4 C6:1/4)"
    notes = list(notes_of(" ".join([bar] * 18), 76))
    at = next(place for place, note in enumerate(notes) if note.bar == "11")
    notes[at] = replace(notes[at], words=("dolce",))
    assert at in {first for first, _ in singing_lines(notes, [], FIGURES)}
    dim = [replace(note, words=("dim.",)) if note.words else note for note in notes]
    assert at not in {first for first, _ in singing_lines(dim, [], FIGURES)}


def test_a_burst_of_few_notes_has_a_double_tongue_where_it_is_very_fast() -> None:
    """Five sixteenths at 150, not at 116, where a run of many has it; from its beat on to the next note."""
    line = " ".join(["(A5:1/4 B5:1/4) C6:1/4 B5 C6 D6 E6 F6:1/1"] * 2)
    way = TABLES.ways["double"]
    fast = notes_of(line, 150)
    assert tongues_of(fast, FIGURES)[:1] == ("double",)
    assert tongues_of(notes_of(line, 116), FIGURES) == ("single",)
    assert tongues_of(notes_of(f"{RUN} {RUN}", 116), FIGURES)[:1] == ("double",)
    (first, last), *_ = fitting_bars(fast, way, FIGURES)
    assert [note.pitch.name for note in fast[first : last + 1]] == ["B5", "C6", "D6", "E6", "F6"]
    assert "double" in questions_of(fast, FIGURES).ways


def test_rhythm_is_worked_on_over_repeated_notes_and_many_alike_are_asked_for() -> None:
    """Where the fingers rest the tongue and the beat are the work."""
    line = " ".join([DOTTED_SAME] * 4)
    plan = practise(barred(f"{line} A5:1/1 B5:1/1", 100), flute(), time=PracticeTime(20, 4))
    assert any(study.way == "rhythm" for day in plan.days for study in day.studies)
    same = " ".join(["C6:1/8 " * 8] * 4)
    assert "repeated" in questions_of(notes_of(same, 130), FIGURES).ways
    assert "repeated" not in questions_of(notes_of(same, 100), FIGURES).ways


def test_a_rhythm_on_changing_notes_comes_before_one_on_a_note_repeated() -> None:
    """The same dotted figure; a last bar of it that goes to a held note is left out."""
    same, other = "A5:3/16 A5:1/16 A5:1/4 " * 2, "A5:3/16 B5:1/16 C6:1/4 " * 2
    once = f"{same}A5:1/1 "
    there = notes_of(f"{same * 2}A5:1/1 {other * 2}A5:1/1 {once}", 100)
    found = [(there[a].bar, there[b].bar) for a, b in fitting_bars(there, TABLES.ways["rhythm"], FIGURES)]
    assert found[0][0] == "4"
    assert [bar for bar, _ in found[1:]] == ["1"]


def test_five_notes_to_a_beat_are_a_rhythm_to_be_worked_out() -> None:
    """Where they begin, even once; four are none."""
    plain, fives = "A5:1/16 B5 C6 B5 ", "A5:1/20 B5:1/20 C6:1/20 D6:1/20 C6:1/20 "
    for beat, odd in ((fives, 1), (plain, 0)):
        notes = notes_of(f"{plain * 3}{beat}{plain * 4}", 60)
        assert sum(is_odd(notes, place, FIGURES) for place in range(len(notes))) == odd


def test_where_a_note_is_tied_into_threes_none_is_struck_on_the_beat() -> None:
    """It is a rhythm to be said, not twos and threes."""
    threes = "D6:1/12 E6:1/12 " * 4
    notes = [replace(note, metre=(3, 4)) for note in notes_of(f"r:5/8 E6:5/24 {threes}", 88)]
    assert is_between(notes, FIGURES)
    assert not is_between(notes, FIGURES, tied=False)


def test_twos_and_threes_have_words_of_their_own() -> None:
    """Dotted notes that go over to triplets; not triplets beside whole beats."""
    mixed = "A5:3/8 B5:1/8 C6:1/6 B5:1/6 A5:1/6 " * 6
    plain = "A5:1/4 r:1/4 C6:1/12 B5:1/12 A5:1/12 r:1/4 "
    notes = [replace(note, metre=(2, 2)) for note in notes_of(mixed, 144)]
    assert is_between(notes, FIGURES)
    assert not is_between([replace(note, metre=(4, 4)) for note in notes_of(plain * 4)], FIGURES)
    part = barred(mixed, 144)
    made = replace(part, notes=tuple(notes))
    plan = practise(made, flute(), time=PracticeTime(25, 4))
    ways = [study.way for day in plan.days for study in day.studies]
    assert "threes" in ways
    assert "rhythm" not in ways


def test_a_part_without_slurs_asks_to_choose_them() -> None:
    """On the first day, twice at most; not where one slur or dot is printed."""
    line = " ".join([RUN] * 6)
    plan = practise(barred(line, 80), flute(), time=PracticeTime(20, 5))
    days = [day.day for day in plan.days for study in day.studies if study.way == "slurs"]
    assert days[:1] == [1]
    assert len(days) <= 2
    slurred = practise(barred(f"(A5 B5) {line[6:]}", 80), flute(), time=PracticeTime(20, 5))
    assert not any(study.way == "slurs" for day in slurred.days for study in day.studies)


def test_the_last_passage_is_at_its_goal_where_the_drills_are() -> None:
    """A day's step up on the last day, more than where something hard is not at its tempo yet."""
    easy = "A5 B5 C6 B5 " * 4
    hard = "F#6 G#6 A6 F#6 E6 G#6 F#6 A6 G#6 F#6 E6 F#6 G#6 A6 G#6 F#6 "
    plan = practise(barred(easy * 3 + hard * 2 + easy * 3, 110), flute(), time=PracticeTime(20, 3))
    before, last = (day.passage for day in plan.days[-2:])
    assert before
    assert last
    assert {item.end / plan.cells[item.cell].ladder.target for item in plan.days[-1].items} == {1.0}
    assert last.share == 1.0
    assert before.share * (1 + FIGURES.notch_share) ** FIGURES.closing_notches < 1.0


def test_no_day_goes_through_bars_in_sections_that_another_row_has() -> None:
    """Neither an entrance, a line nor a rhythm of the day lies in its sections, nor these in them."""
    dotted = "A5:3/16 B5 C6:3/16 D6 E6:3/16 D6 C6:3/16 B5"
    song = f"p (D6:1/4 E6:1/4 F6:1/2) {QUICK} {QUICK} (E6:1/4 D6:1/4 C6:1/2)"
    line = f"{song} r:9/1 {song} r:3/1 {dotted} {dotted} {QUICK} {QUICK} r:9/1 {song} {RUN}"
    plan = practise(barred(line, 110), flute(), time=PracticeTime(25, 7))
    pairs = [
        ((one.first, one.last), (other.first, other.last))
        for day in plan.days
        for one in day.studies
        for other in day.studies
        if one.way == "sections" and other.way in ("entry", "phrase", "rhythm")
    ]
    assert pairs
    assert not any(mostly_in(one, other) or mostly_in(other, one) for one, other in pairs)


def test_a_line_is_taken_from_its_beginning_and_over_no_long_rest() -> None:
    """From its fourth bar on to a bar after six seconds: from its first to its last before these."""
    line = "(G5:1/4 A5:1/4 B5:1/4 C6:1/4) " * 6
    notes = notes_of(f"C6:1/4 r:3/4 {line} r:3/1 A5:1/2 B5:1/2")
    assert whole_line(notes, (13, len(notes) - 1), FIGURES) == (1, 24)
    marked = [replace(note, dynamic_mark="p") if at == 9 else note for at, note in enumerate(notes)]
    assert whole_line(marked, (13, 24), FIGURES) == (9, 24)
    long = notes_of(f"{line * 4}")
    assert whole_line(long, (80, 95), FIGURES) == (80, 95)


def test_work_begins_with_the_note_that_is_held_into_its_first_bar() -> None:
    """A half note over the bar line is where a row of the next bar begins; one over two bars is not."""
    for held, back in (("C6:1/2", 1), ("C6:6/4", 0)):
        line = f"A5:1/4 B5:1/4 A5:1/4 {held} D6:1/4 C6:1/4 B5:1/4"
        notes = [replace(note, metre=(4, 4)) for note in barred(line, 100).notes]
        first = next(at for at, note in enumerate(notes) if note.pitch.name == "D6")
        assert notes[first].bar != notes[first - 1].bar
        assert from_upbeat(notes, first) == first - back


def test_threes_beside_twos_are_asked_for_where_they_come_again() -> None:
    """Three turns from one to the other in sixteen notes are a rhythm to work out; one triplet is none."""
    three, two = "G5:1/6 A5:1/6 B5:1/6 ", "A5:1/8 B5:1/8 A5:1/4 "
    for music, asked in (((two + three) * 3 + two * 3, True), (two * 3 + three + two * 4, False)):
        notes = [replace(note, metre=(2, 2)) for note in barred(music, 252).notes]
        assert is_dense(notes, FIGURES) is asked
