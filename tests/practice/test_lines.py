"""A line that sings is long or slurred notes from rest to rest; exposed ones come first."""

from dataclasses import replace

from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES

from gripway.model.passage import Note, Ornament, Stress
from gripway.practice.ways.breathing import long_lines
from gripway.practice.ways.lines import singing_lines
from gripway.practice.ways.whole_passage import bars_of
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

RUN = "G5 A5 B5 C6 D6 C6 B5 A5 G5 A5 B5 C6 D6 C6 B5 A5"
SONG = "(G5:1/4 A5:1/4 B5:1/2) (C6:1/4 B5:1/4 A5:1/2)"


def notes_of(line: str) -> tuple[Note, ...]:
    """Bars of four quarters at 100."""
    return barred(line, 100).notes


def ends_of(notes: tuple[Note, ...]) -> list[tuple[int, int]]:
    """The lines that are long without a rest."""
    return [line.ends for line in long_lines(notes, FIGURES)]


def bars(notes: tuple[Note, ...]) -> list[tuple[str, str]]:
    """First and last bars of the lines."""
    return [
        (notes[first].bar, notes[last].bar) for first, last in singing_lines(notes, ends_of(notes), FIGURES)
    ]


def test_a_run_of_tongued_sixteenths_is_no_line() -> None:
    """The song after the rest is one."""
    assert bars(notes_of(f"{RUN} {RUN} r:1/1 {SONG}")) == [("4", "5")]


def test_soft_lines_come_before_loud_ones() -> None:
    """Though they are shorter."""
    assert bars(notes_of(f"f {SONG} {SONG} r:1/1 p {SONG}")) == [("6", "7"), ("1", "4")]


def test_tongued_quarters_are_no_line_and_slurs_are() -> None:
    """However loud and grand; tongued notes are sustained from three quarters of a bar on."""
    tongued = "G5:1/4 A5:1/4 B5:1/2 C6:1/4 B5:1/4 A5:1/2"
    assert bars(notes_of(f"{tongued} r:2/1 {SONG}")) == [("5", "6")]
    assert bars(notes_of("G5:1/1 A5:1/1 B5:1/1 C6:3/4")) == [("1", "4")]


def test_a_line_without_a_rest_for_long_comes_before_soft_ones() -> None:
    """Though it hardly sings it is one: breath is what it is about; one that sings comes first."""
    long = " ".join([RUN] * 7)
    assert bars(notes_of(f"f {long} r:1/1 p {SONG}")) == [("9", "10"), ("1", "7")]
    assert bars(notes_of(f"f {SONG} {SONG} {SONG} r:1/1 p {SONG}")) == [("1", "6"), ("8", "9")]


def test_a_slow_slurred_line_goes_on_through_a_short_rest() -> None:
    """An eighth at 60; at the same rest a tongued line ends."""
    slurred = "(C6:1/4 B5:1/8) r:1/8 (A5:1/4 G5:1/8) r:1/8"
    assert bars(barred(f"{slurred} {slurred}", 60).notes) == [("1", "2")]
    tongued = "C6:1/4 B5:1/8 r:1/8 A5:1/4 G5:1/8 r:1/8"
    assert bars(barred(f"{tongued} {tongued}", 60).notes) == []


def test_a_figure_is_no_line() -> None:
    """Two beats that sing are too short for a row."""
    assert bars(notes_of(f"(D6:1/4 C6:1/8 B5:1/8 A5:1/2) r:2/1 {RUN}")) == []


def test_a_line_begins_after_accents() -> None:
    """Two bars of sf before eight whole notes that sing."""
    notes = list(notes_of("G5:1/2 A5:1/2 B5:1/2 C6:1/2 " + "D6:1/1 C6:1/1 " * 4))
    stressed = [replace(n, stress=Stress("sf", "f")) if place < 4 else n for place, n in enumerate(notes)]
    assert bars(tuple(stressed)) == [("3", "10")]


def test_a_long_trill_parts_a_line_and_broken_notes_are_none() -> None:
    """Nothing sings through a trilled bar; notes between rests are no line."""
    notes = list(notes_of(f"{SONG} D6:1/1 {SONG}"))
    notes[6] = replace(notes[6], ornament=Ornament("trill"))
    assert bars(tuple(notes)) == [("1", "2"), ("4", "5")]
    assert bars(notes_of("C6:1/8 r:3/8 " * 8)) == []


def test_a_long_line_is_worked_on_in_parts() -> None:
    """Of forty bars none has more than the table allows, and all together are the line."""
    notes = notes_of(" ".join([SONG] * 20))
    found = singing_lines(notes, ends_of(notes), FIGURES)
    assert all(len(bars_of(notes, *ends)) <= FIGURES.line_most_bars for ends in found)
    assert sorted(found)[0][0] == 0
    assert sum(last - first + 1 for first, last in found) == len(notes)


def test_a_plan_has_its_line_and_an_entrance_in_the_last_days() -> None:
    """The line is on the bars that sing; the entrance names its note."""
    plan = practise(barred(f"{RUN} {RUN} r:2/1 {SONG} {SONG}", 100), flute(), time=PracticeTime(25, 5))
    studies = [study for day in plan.days for study in day.studies]
    assert {study.bars for study in studies if study.way == "phrase"} == {("5", "8")}
    assert {study.about for study in studies if study.way == "entry"} == {"on G5"}


def test_a_line_is_parted_where_a_phrase_begins() -> None:
    """After a long note nearer the middle than a bar line, never at a note of a figure."""
    bar = "G5:1/8 A5:1/8 B5:1/8 C6:1/8 D6:1/8 C6:1/8 B5:1/8 A5:1/8"
    slurred = f"({bar} {bar})"
    notes = notes_of(" ".join([slurred] * 7 + ["(G5:1/1)"] + [slurred] * 7))
    found = sorted(singing_lines(notes, ends_of(notes), FIGURES))
    assert len(found) == 2
    assert notes[found[1][0] - 1].length == 1


def test_short_soft_phrases_of_one_tune_are_one_line() -> None:
    """A rest of a bar between two of them is part of it; a longer one, or a loud phrase, is not."""
    phrase = "(G5:1/4 A5:1/4 B5:1/2)"
    assert bars(notes_of(f"p {phrase} r:1/1 {phrase} r:1/1 {phrase}")) == [("1", "5")]
    assert bars(notes_of(f"p {phrase} r:2/1 {phrase} r:2/1 {phrase}")) == []
    assert bars(notes_of(f"f {phrase} r:1/1 {phrase} r:1/1 {phrase}")) == []


def test_a_line_goes_to_its_long_note() -> None:
    """After a short rest, where that note begins no slur."""
    line = "(G5:1/4 A5:1/4 B5:1/4 C6:1/4) (D6:1/4 C6:1/4 B5:1/4) r:1/4"
    notes = barred(f"{line} A5:1/1 r:2/1 {RUN}", 200).notes
    assert bars(notes)[0] == ("1", "3")
    slurred = barred(f"{line} (A5:3/4 G5:1/4) r:2/1 {RUN}", 200).notes
    assert slurred[singing_lines(slurred, ends_of(slurred), FIGURES)[0][1]].pitch.name != "A5"


def test_the_longest_line_without_a_rest_comes_first_and_whole() -> None:
    """Twenty bars before sixteen, and before the soft tune of the beginning."""
    notes = notes_of(f"p {SONG} r:1/1 f {' '.join([SONG] * 8)} r:1/1 {' '.join([SONG] * 10)}")
    assert bars(notes) == [("21", "40"), ("4", "19"), ("1", "2")]


def test_a_soft_line_ends_where_its_last_note_is_only_repeated() -> None:
    """Four bars in p go to the first of three bars of E5; a bar of it belongs to them; so it does in f."""
    song, still = " ".join([SONG] * 2), "E5:1/4 E5:1/4 E5:1/4 E5:1/4 "
    for level, count, end in (("p", 3, "5"), ("p", 1, "5"), ("f", 3, "7")):
        notes = notes_of(f"{level} {song} {still * count} r:1/1 {RUN}")
        (line,) = singing_lines(notes, ends_of(notes), FIGURES)[:1]
        assert notes[line[1]].bar == end, (level, count)
        assert (notes[line[1]].at > 0) is ((level, count) != ("p", 3))


def test_a_part_without_slurs_has_its_longest_line() -> None:
    """One; with a slur or a dot anywhere running notes are no line."""
    notes = notes_of(f"{RUN} " * 4 + f"A5:1/1 r:2/1 {RUN} {RUN} {RUN}")
    assert bars(notes) == [("1", "5")]
    dotted = (*notes[:-1], replace(notes[-1], articulations=("staccato",)))
    assert bars(dotted) == []


def test_what_has_no_rest_for_a_breath_and_stays_on_a_note_is_a_line_where_it_lasts() -> None:
    """Eight bars of C6 in whole notes; in tongued quarters, or four bars of whole ones, it is none."""
    for held, found in (("C6:1/1 " * 8, [("1", "8")]), ("C6:1/4 " * 32, []), ("C6:1/1 " * 4, [])):
        assert bars(notes_of(f"{held} r:1/1 (A5:1/4 B5:1/4)")) == found
