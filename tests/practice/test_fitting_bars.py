"""Work stands where its fault lives: the bars with most of what a way is for, never on a note or two."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES, TABLES

from gripway.model.passage import Hairpin, Note, Stress
from gripway.practice.ways.counted_rests import counted_bars
from gripway.practice.ways.drone import drone_of
from gripway.practice.ways.fitting_bars import PARTS, fitting_bars, marks_of, tongues_of
from gripway.practice.ways.questions import questions_of
from gripway.practice.ways.sections import LEAST_BARS, LEAST_NOTES, needing, needs_of, pieces, run_of
from gripway.practice.ways.uneven import is_between
from gripway.practice.ways.way_conditions import is_dotted

SLURRED = "(A5 B5 C6 D6 E6 D6 C6 B5 A5 B5 C6 D6 E6 D6 C6 B5)"
TONGUED = "A5 B5 C6 D6 E6 D6 C6 B5 A5 B5 C6 D6 E6 D6 C6 B5"
REPEATED = "A5 A5 A5 A5 B5 B5 B5 B5 C6 C6 C6 C6 D6 D6 D6 D6"
DOTTED = "A5:3/16 B5 C6:3/16 D6 E6:3/16 D6 C6:3/16 B5"
UPBEATS = "r:5/16 A5 B5:1/32 C6:1/32 D6 r:5/16 E6 D6:1/32 C6:1/32 B5"
PLAIN = "A5:1/4 B5:1/4 C6:1/4 D6:1/4"


def notes_of(*bars: str) -> tuple[Note, ...]:
    """Bars of four quarters at 100."""
    return barred(" ".join(bars), 100).notes


@pytest.mark.parametrize(
    ("way", "wanted"),
    [
        ("single", TONGUED),
        ("repeated", REPEATED),
        ("rhythm", DOTTED),
        ("upbeats", UPBEATS),
    ],
)
def test_a_way_goes_to_the_bars_that_have_most_of_what_it_is_for(way: str, wanted: str) -> None:
    """Of slurred bars, plain ones and one it is for, it takes that one; without it none."""
    first = replace(TABLES.ways[way], bars=0)
    notes = notes_of(SLURRED, PLAIN, wanted, PLAIN, SLURRED)
    found = fitting_bars(notes, first, FIGURES)
    assert found
    assert {notes[begin].bar for begin, _ in found} == {"3"}
    assert fitting_bars(notes_of(SLURRED, PLAIN, PLAIN, SLURRED), first, FIGURES) == []


def test_repeated_notes_are_three_and_more_or_six_that_are_soft_and_light() -> None:
    """Pairs are none; six quarters at 252 in p with dots are, three of them or in f or without dots are not.

    Soft notes that divide their beat need no dots.
    """
    way = TABLES.ways["repeated"]
    assert fitting_bars(notes_of(PLAIN, "A5 A5 B5 B5 " * 4, PLAIN), way, FIGURES) == []

    def light(text: str, tempo: int, dynamic: str = "p", signs: tuple[str, ...] = ()) -> bool:
        notes = barred(f"p {text}", tempo).notes
        made = [replace(note, dynamic=dynamic, articulations=signs) for note in notes]
        return bool(fitting_bars(made, way, FIGURES))

    six = "B5:1/4 " * 7 + "C6:1/4 "
    assert light(six, 252, signs=("staccato",))
    assert not light("B5:1/4 B5:1/4 B5:1/4 C6:1/4 A5:1/4 A5:1/4 A5:1/4 B5:1/4", 252, signs=("staccato",))
    assert not light(six, 252, "f", ("staccato",))
    assert not light(six, 252)
    eighths = "B5:1/8 " * 7 + "C6:1/8 " + "D6:1/8 " * 7 + "C6:1/8"
    assert light(eighths, 126)


def test_soft_staccato_notes_are_work_for_a_light_tongue() -> None:
    """Four bars of eighths at 126 with dots in p are; in f, without dots or with every second one not."""
    way = TABLES.ways["staccato"]
    eighths = barred("p " + "A5 B5 C6 D6 E6 D6 C6 B5 " * 4, 126, "1/8").notes

    def is_work(dynamic: str, signs: tuple[str, ...], every: int = 1) -> bool:
        made = [
            replace(note, dynamic=dynamic, articulations=signs if place % every == 0 else ())
            for place, note in enumerate(eighths)
        ]
        return bool(fitting_bars(made, way, FIGURES))

    assert is_work("p", ("staccato",))
    assert not is_work("f", ("staccato",))
    assert not is_work("p", ())
    assert not is_work("p", ("staccato",), 2)


def test_a_bar_of_soft_staccato_notes_is_work_and_half_a_bar_is_not() -> None:
    """Eight eighths between whole notes, and four."""
    for line, work in (("A5 B5 C6 D6 E6 D6 C6 B5", True), ("A5 B5 C6 D6 E6:1/2", False)):
        found = barred(f"p A4:1/1 {line} A5:1/1", 126, "1/8").notes
        notes = [
            replace(note, dynamic="p", articulations=("staccato",) if note.length_ms < 300 else ())
            for note in found
        ]
        assert bool(fitting_bars(notes, TABLES.ways["staccato"], FIGURES)) is work


def test_light_staccato_begins_with_its_first_dot_and_is_none_under_a_slur_or_where_soft_is_not_sure() -> (
    None
):
    """The first notes, slurred with dots, are left; all under slurs, or softness only guessed: nothing."""
    way = TABLES.ways["staccato"]
    eighths = barred("p " + "A5 B5 C6 D6 E6 D6 C6 B5 " * 4, 126, "1/8").notes
    dotted = [replace(note, dynamic="p", articulations=("staccato",)) for note in eighths]
    slurs = [replace(note, slurred=place in (1, 2)) for place, note in enumerate(dotted)]
    assert fitting_bars(dotted, way, FIGURES)[0][0] == 0
    assert fitting_bars(slurs, way, FIGURES)[0][0] == 3
    assert not fitting_bars([replace(note, slurred=bool(note.at)) for note in dotted], way, FIGURES)
    assert not fitting_bars([replace(note, dynamic_sure=False) for note in dotted], way, FIGURES)


def test_signs_of_accents_are_work_where_there_is_one_in_two_bars() -> None:
    """Three in five bars are; three in eight are not."""
    way = TABLES.ways["accents"]
    for places, count in (((8, 12, 24), 1), ((0, 12, 28), 0)):
        notes = list(notes_of(*[PLAIN] * 8))
        for place in places:
            notes[place] = replace(notes[place], articulations=("accent",))
        assert len(fitting_bars(notes, way, FIGURES)) == count


def test_ties_make_no_rhythm_of_even_notes() -> None:
    """Even sixteenths with a note tied over each bar line are for work without the ties."""
    tied = "C6 D6 C6 B5 A5 B5 C6 D6 C6 B5 A5 B5 C6 D6 C6:3/16 D6 C6 B5 A5 B5 C6 D6 C6 B5 A5 B5 C6 D6 C6 B5 A5"
    notes = [replace(note, metre=(4, 4)) for note in barred(tied, 80).notes]
    assert fitting_bars(notes, TABLES.ways["rhythm"], FIGURES) == []


def test_the_longest_tongued_run_comes_first() -> None:
    """A run of three bars before one of a bar, though the short one comes first."""
    notes = notes_of(PLAIN, TONGUED, "A5:1/1", PLAIN, TONGUED, TONGUED, TONGUED, PLAIN)
    first, *_ = fitting_bars(notes, TABLES.ways["single"], FIGURES)
    assert notes[first[0]].bar == "5"


def test_triplets_that_come_once_are_no_rhythm() -> None:
    """What goes over to threes again and again comes before dots; one triplet in a line does not."""
    turns = "A5:1/8 B5:1/8 C6:1/12 B5:1/12 A5:1/12 G5:1/8 A5:1/8 B5:1/12 A5:1/12 G5:1/12"
    way = TABLES.ways["rhythm"]
    often = notes_of(DOTTED, "A5:1/1", PLAIN, turns, turns, "A5:1/1")
    assert often[fitting_bars(often, way, FIGURES)[0][0]].bar in ("3", "4")
    once = notes_of(PLAIN, "A5:1/8 B5:1/8 C6:1/12 B5:1/12 A5:1/12 G5:1/4 A5:1/4", PLAIN)
    assert fitting_bars(once, way, FIGURES) == []


def in_cut_time(text: str) -> list[Note]:
    """Music at half = 120."""
    return [replace(note, metre=(2, 2)) for note in barred(text, 240).notes]


def test_quarters_with_rests_between_are_no_rhythm_to_work_on_in_cut_time() -> None:
    """Quarters after a quarter's rest stand on a quarter; an eighth after a shorter rest is off it."""
    way = TABLES.ways["rhythm"]
    assert fitting_bars(in_cut_time("A5:1/4 A5:1/4 r:1/4 B5:1/4 " * 4), way, FIGURES) == []
    assert fitting_bars(in_cut_time("A5:1/4 A5:1/4 B5:1/4 r:1/8 C6:1/8 " * 4), way, FIGURES)


def test_twos_after_threes_are_worked_on_from_the_bar_of_the_threes() -> None:
    """Where twos begin with a bar: the threes are in the bar before."""
    turn = "A5:1/2 B5:1/6 B5:1/6 B5:1/6 C6:1/8 D6:1/8 B5:1/4 C6:1/8 D6:1/8 B5:1/4 "
    notes = in_cut_time(f"{PLAIN} {turn * 3}{PLAIN}")
    first, _ = fitting_bars(notes, TABLES.ways["rhythm"], FIGURES)[0]
    assert notes[first].bar == "2"


def test_sudden_changes_are_worked_on_from_before_the_first_to_after_the_last() -> None:
    """The bar before the change and its own, on to the next note: no bars without one."""
    notes = list(barred("f " + f"{PLAIN} " * 3 + "p " + f"{PLAIN} " * 3, 100).notes)
    ((first, last),) = fitting_bars(notes, TABLES.ways["contrasts"], FIGURES)
    assert (notes[first].bar, notes[last].bar) == ("3", "5")


def test_of_sudden_changes_the_riskiest_comes_first() -> None:
    """One high up with more after it comes before an earlier one that is lower."""
    levels = [("f", PLAIN), ("p", f"{PLAIN} r:4/1"), ("f", "E6:1/4 " * 8), ("p", "E6:1/4 " * 8)]
    notes = barred(" ".join(f"{level} {bars} " for level, bars in levels), 100).notes
    first, second = fitting_bars(notes, TABLES.ways["contrasts"], FIGURES)
    assert (notes[first[1]].bar, notes[second[1]].bar) == ("10", "2")


def test_a_change_to_soft_comes_before_more_of_them_to_loud() -> None:
    """One from f to p up high, without a rest, before an earlier row that goes from p to f twice."""
    levels = [("p", PLAIN), ("f", PLAIN), ("mp", PLAIN), ("p", PLAIN), ("f", f"{PLAIN} r:4/1")]
    levels += [("f", "E6:1/4 " * 8), ("p", "E6:1/4 " * 8)]
    notes = barred(" ".join(f"{level} {bars} " for level, bars in levels), 100).notes
    first, *others = fitting_bars(notes, TABLES.ways["contrasts"], FIGURES)
    assert others
    assert (notes[first[0]].bar, notes[first[1]].bar) == ("11", "13")


def test_a_change_that_another_leads_to_is_worked_on_from_before_that() -> None:
    """From the f before the soft upbeat on, where the p goes to f; from the p on, where no f was near."""
    for begin, bar in ((f"f {PLAIN} {PLAIN} r:3/4", "2"), (f"p {PLAIN} {PLAIN} r:3/4", "4")):
        notes = barred(f"{begin} p D6:1/4 {PLAIN} f {PLAIN} {PLAIN}", 100).notes
        ((first, _),) = fitting_bars(notes, TABLES.ways["contrasts"], FIGURES)
        assert notes[first].bar == bar, begin


def test_accents_are_several_from_the_first_to_the_last_and_none_that_is_soft_at_once() -> None:
    """Three sf in five bars, on to the next note; two are too few, sf with p after it is a sudden change."""
    way = TABLES.ways["accents"]
    notes = list(notes_of(*[PLAIN] * 8))
    for place in (8, 16, 24):
        notes[place] = replace(notes[place], stress=Stress("sf", "f"))
    ((first, last),) = fitting_bars(notes, way, FIGURES)
    assert (notes[first].bar, notes[last].bar) == ("3", "8")
    assert fitting_bars([*notes[:24], replace(notes[24], stress=None), *notes[25:]], way, FIGURES) == []
    soft = [replace(note, dynamic_mark="p" if place == 9 else "") for place, note in enumerate(notes)]
    assert fitting_bars(soft, way, FIGURES) == []


def test_dotted_quarters_are_no_rhythm_to_work_on() -> None:
    """However quick the eighth is, in crossed time, too; with a sixteenth they are."""
    notes = [replace(n, metre=(2, 2)) for n in barred("A5:3/8 B5:1/8 C6:3/8 D6:1/8 " * 4, 250).notes]
    assert fitting_bars(notes, TABLES.ways["rhythm"], FIGURES) == []
    assert not is_dotted(notes, FIGURES)
    assert is_dotted(notes_of(DOTTED, DOTTED), FIGURES)


def test_the_tempo_decides_which_tongue() -> None:
    """Sixteenths at 112 are for the double one, at 111 for the single one; slurred ones for none."""
    assert tongues_of(barred(TONGUED, 112).notes, FIGURES) == ("double", "triple")
    assert tongues_of(barred(TONGUED, 111).notes, FIGURES) == ("single",)
    assert tongues_of(notes_of(SLURRED), FIGURES) == ()


def test_work_for_the_tongue_ends_before_a_note_that_is_held_for_bars() -> None:
    """A run on to a note of three bars has no part of it; a run on to a shorter note has that."""
    way = TABLES.ways["single"]
    for after, end in (("C6:3/1", "2"), ("C6:2/1", "3")):
        notes = [replace(each, metre=(4, 4)) for each in notes_of(PLAIN, TONGUED, after, PLAIN)]
        ((_, last),) = fitting_bars(notes, way, FIGURES)
        assert notes[last].bar == end


def test_sudden_changes_are_those_without_a_hairpin_and_far_apart() -> None:
    """P to f is one, p to mp none; nor is one after cresc., or without a mark, or after a level in doubt."""
    way = TABLES.ways["contrasts"]
    plain = notes_of(TONGUED, TONGUED)
    begin = next(place for place, note in enumerate(plain) if note.bar == "2")

    def found(level: str, **before: object) -> bool:
        notes = [replace(note, dynamic="p" if note.bar == "1" else level) for note in plain]
        notes[begin] = replace(notes[begin], dynamic_mark=level)
        notes[begin - 1] = replace(notes[begin - 1], **before)
        return bool(fitting_bars(notes, way, FIGURES))

    assert found("f")
    assert not found("mp")
    assert not found("f", words=("cresc.",))
    assert not found("f", dynamic_sure=False)
    assert not found("f", during=((Fraction(1, 32), "cresc."),))
    unmarked = [replace(note, dynamic="p" if note.bar == "1" else "f") for note in plain]
    assert not fitting_bars(unmarked, way, FIGURES)


def test_the_tongue_is_for_the_fastest_tongued_notes() -> None:
    """A few triplets beside slower eighths; none below six a second, nor among quarters."""
    eighths = "A5:1/8 B5:1/8 C6:1/8 D6:1/8 E6:1/8 D6:1/8 C6:1/8 B5:1/8"
    triplets = "A5:1/4 G5:1/4 G5:1/12 G5:1/12 G5:1/12 G5:1/12 G5:1/12 G5:1/12"
    few = "A5:1/4 G5:1/4 A5:1/4 G5:1/12 G5:1/12 G5:1/12"
    way = TABLES.ways["single"]
    quick = barred(f"{eighths} {eighths} {eighths} {triplets} {triplets} {PLAIN}", 170).notes
    ((first, last), *_) = fitting_bars(quick, way, FIGURES)
    assert (quick[first].bar, quick[last].bar) == ("4", "5")
    assert [note.length for note in quick[first : last + 1]] == [Fraction(1, 12)] * 6 + [Fraction(1, 4)]
    assert fitting_bars(barred(f"{few} {few} {few}", 170).notes, way, FIGURES) == []
    # an eighth lasts 30,000 ms over the tempo: study_tongue_ms stands in the table
    at = 30_000 / FIGURES.study_tongue_ms
    assert fitting_bars(barred(f"{eighths} {eighths} {eighths}", at - 1).notes, way, FIGURES) == []
    assert fitting_bars(barred(f"{eighths} {eighths} {eighths}", at).notes, way, FIGURES)


def test_plain_notes_are_no_rhythm_to_work_on() -> None:
    """Even eighths, an eighth and two sixteenths, dotted quarters and slow dots in 4/4 are none."""
    way = TABLES.ways["rhythm"]
    gallop = "A5:1/8 B5 C6 D6:1/8 C6 B5 A5:1/8 B5 C6 D6:1/8 C6 B5"
    slow = "A5:3/8 B5:1/8 C6:3/8 D6:1/8"
    for bar in (TONGUED, gallop, slow):
        assert fitting_bars(notes_of(bar, bar, bar), way, FIGURES) == [], bar
    # the sixteenth of a dotted eighth lasts 15,000 ms over the tempo
    at = 15_000 / FIGURES.study_fast_ms
    assert fitting_bars(barred(f"{DOTTED} {DOTTED}", at).notes, way, FIGURES)
    assert fitting_bars(barred(f"{DOTTED} {DOTTED}", at - 1).notes, way, FIGURES) == []


def test_ties_are_those_that_go_on() -> None:
    """A quarter tied over the bar line is one; a note held for bars is none."""
    way = replace(TABLES.ways["ties"], bars=0, least=1)
    line = "A5:1/8 B5:1/8 C6:1/8 D6:1/8 E6:1/8 D6:1/8 C6:1/8"
    tied = f"{line} B5:1/4 {line}"
    notes = [replace(note, metre=(4, 4)) for note in notes_of(tied)]
    assert fitting_bars(notes, way, FIGURES)
    long = [replace(note, metre=(4, 4)) for note in notes_of(f"{TONGUED} A5:2/1 {TONGUED}")]
    assert fitting_bars(long, way, FIGURES) == []


def test_an_accent_that_is_soft_at_once_is_a_sudden_change() -> None:
    """fp, and sf with p on the next note; sf in f is none."""
    way = TABLES.ways["contrasts"]
    plain = [replace(note, dynamic="p") for note in notes_of(TONGUED, TONGUED)]
    found = [*plain]
    found[16] = replace(found[16], dynamic="f", stress=Stress("fp", "p"))
    assert fitting_bars(found, way, FIGURES)
    found[16] = replace(found[16], stress=Stress("sf", "p"))
    assert fitting_bars(found, way, FIGURES) == []
    found[17] = replace(found[17], dynamic_mark="p")
    assert fitting_bars(found, way, FIGURES)
    loud = [replace(note, dynamic="f") for note in plain]
    loud[16] = replace(loud[16], stress=Stress("sf", "f"))
    assert fitting_bars(loud, way, FIGURES) == []


def test_rhythm_goes_to_what_is_against_the_beat_before_dotted_figures() -> None:
    """Triplets beside dotted eighths, and off-beats after rests, are harder than dots alone."""
    way = TABLES.ways["rhythm"]
    dotted = "A5:3/8 B5:1/8 C6:3/8 D6:1/8"
    against = "A5:3/8 G5:1/8 A5:1/6 A5:1/6 B5:1/6"
    off = "G5:1/8 r:1/8 r:1/8 A5:1/8 r:1/8 B5:1/8 r:1/8 C6:1/8"
    for hard in (against, off):
        notes = barred(f"{dotted} {dotted} {dotted} {hard} {hard} {dotted}", 144).notes
        ((first, last), *_) = fitting_bars(notes, way, FIGURES)
        assert notes[first].bar <= "4" < "5" <= notes[last].bar


def test_no_work_on_bars_of_a_note_or_two() -> None:
    """A bar with fewer than eight notes alone is no place; its neighbours go with it."""
    way = replace(TABLES.ways["upbeats"], bars=0, least=1)
    short = "r:3/8 A5:1/8 r:3/8 B5:1/8"
    assert fitting_bars(notes_of(short, short), way, FIGURES) == []
    notes = notes_of(*[short] * 6)
    assert fitting_bars(notes, replace(way, bars=3), FIGURES)


def test_sections_have_four_bars_and_leave_out_a_note_after_a_long_rest() -> None:
    """One note after a long rest is in none; what is before it is one of four bars or more."""
    notes = list(notes_of(TONGUED, TONGUED, TONGUED, TONGUED, TONGUED, "A5:1/1"))
    notes[-1] = replace(notes[-1], onset_ms=notes[-1].onset_ms + 9000.0)
    bars = pieces(notes)
    (group,) = needing(needs_of(bars, [], notes, FIGURES), bars, notes)
    assert group == (0, 1, 2, 3, 4)
    for count in range(1, 6):
        for wanted in group:
            run = run_of(group, wanted, count, bars, notes)
            assert wanted in run
            assert len(run) >= LEAST_BARS
            assert sum(bars[each][1] - bars[each][0] + 1 for each in run) >= LEAST_NOTES


def test_a_drone_needs_a_line_of_long_notes() -> None:
    """Two long notes, or notes between rests, are nothing to tune; six long ones are."""
    line = "C5:1/4 E5:1/4 G5:1/4 C6:1/4 G5:1/4 E5:1/4 C5:1/2"
    assert drone_of(notes_of(line), FIGURES)
    two = "C5:1/16 r:15/16 C5:1/16 r:15/16"
    assert drone_of(notes_of(two, two), FIGURES) is None
    broken = "C5:1/16 r:3/16 E5:1/16 r:3/16 G5:1/16 r:3/16 C6:1/16 r:3/16"
    assert drone_of(notes_of(broken, broken), FIGURES) is None


def test_a_rest_to_count_has_a_whole_beat() -> None:
    """Two eighths across a beat are none; a quarter on the beat is."""
    way = replace(TABLES.ways["upbeats"], bars=1)
    across = "A5:1/8 B5:1/8 C6:1/8 r:1/4 D6:1/8 C6:1/8 B5:1/8"
    assert fitting_bars(notes_of(across, across), way, FIGURES) == []
    whole = "A5:1/8 B5:1/8 r:3/8 D6:1/8 C6:1/8 B5:1/8"
    assert fitting_bars(notes_of(whole, whole), way, FIGURES)


def test_work_on_a_change_of_dynamic_begins_with_what_is_before_it() -> None:
    """The loud bar before a p that stands at the beginning of a bar is with it."""
    way = TABLES.ways["contrasts"]
    line = "A5:1/8 B5:1/8 C6:1/8 D6:1/8 E6:1/8 D6:1/8 C6:1/8 B5:1/8"
    notes = [replace(note, dynamic="f") for note in notes_of(line, line, line, line, line, line, line)]
    soft = [replace(n, dynamic="p") if at >= 16 else n for at, n in enumerate(notes)]
    marked = tuple(replace(n, dynamic_mark="p") if at == 16 else n for at, n in enumerate(soft))
    assert {marked[first].bar for first, _ in fitting_bars(marked, way, FIGURES)} <= {"1", "2"}


def test_a_rest_is_counted_that_is_a_beat_and_long_enough_to_breathe_in() -> None:
    """Three notes after a beat of rest are work at quarter = 100; at 200 nobody breathes there.

    Nor is an eighth's rest within a line counted, nor a long note after a rest.
    """
    plain, enters = "A5:1/4 B5:1/4 C6:1/4 D6:1/4", "r:1/4 A5:1/4 B5:1/4 C6:1/4"
    sighs, slow = "A5:1/8 B5:1/8 r:1/8 A5:1/8 B5:1/8 A5:1/8 r:1/8 C6:1/8", "r:1/4 A5:1/2 r:1/4"

    def counted(other: str, tempo: int) -> list[str] | None:
        notes = barred(f"{plain} {plain} {other} {other} {other} {plain}", tempo).notes
        bars = counted_bars(notes, (0, len(notes) - 1), FIGURES)
        return [notes[bars[0]].bar, notes[bars[1]].bar] if bars else None

    assert counted(enters, 100) == ["2", "5"]
    assert counted(enters, 200) is None
    assert counted(sighs, 100) is None
    assert counted(slow, 100) is None


def test_accents_of_a_phrase_are_worked_on_from_the_first_to_the_last() -> None:
    """Three in bars 3 and 4 of four; one is none."""
    notes = list(notes_of(*[PLAIN] * 4))
    for place in (8, 12, 14):
        notes[place] = replace(notes[place], articulations=("accent",))
    first, last = PARTS["accents"](notes, (0, 15), FIGURES) or (0, 0)
    assert (notes[first].bar, notes[last].bar) == ("3", "4")
    assert PARTS["accents"](notes[:12], (0, 11), FIGURES) is None


def test_a_turn_and_threes_after_a_rest_are_no_twos_and_threes() -> None:
    """Triplets that go over to plain notes are; those of a quick turn, or between rests, are not."""
    turns = [replace(n, metre=(2, 2)) for n in barred("A5:1/6 A5:1/6 A5:1/6 B5:1/4 G5:1/4 " * 4, 240).notes]
    quick = [
        replace(n, metre=(2, 2))
        for n in barred("C6:1/4 D6:1/12 C6:1/12 B5:1/12 C6:1/4 D6:1/4 " * 4, 240).notes
    ]
    rests = [replace(n, metre=(2, 2)) for n in barred("B5:1/4 r:1/4 A5:1/6 A5:1/6 A5:1/6 " * 4, 240).notes]
    assert [is_between(each, FIGURES) for each in (turns, quick, rests)] == [True, False, False]


def test_work_on_ties_goes_over_no_change_of_metre() -> None:
    """There the tempo may be another: work goes on to the first note of it at most."""
    way = TABLES.ways["ties"]
    tied = "C6 B5 A5 B5 C6 D6 C6 B5 A5 B5 C6 D6 C6 D6 C6 B5:1/8 A5 B5 C6 D6 C6 B5 A5 B5 C6 D6 C6 D6 C6 B5 A5"
    made = [replace(n, metre=(4, 4)) for n in barred(f"{tied} {tied} {tied}", 80).notes]
    turn = next(at for at, note in enumerate(made) if note.bar == "3")
    split = [*made[:turn], *(replace(note, metre=(2, 4)) for note in made[turn:])]

    def goes_over(notes: list[Note]) -> bool:
        return any(first < turn < last for first, last in fitting_bars(notes, way, FIGURES))

    assert goes_over(made)
    assert not goes_over(split)


def test_a_soft_mark_after_a_crescendo_is_a_sudden_change() -> None:
    """Where a crescendo leads to p; not where a diminuendo does."""
    for kind, found in (("crescendo", [8]), ("diminuendo", [])):
        plain = barred("p A5:1/4 B5:1/4 C6:1/4 D6:1/4 " * 2 + "p E6:1/4 D6:1/4 C6:1/4 B5:1/4", 100).notes
        pin = Hairpin(kind, Fraction(0), Fraction(1, 4))
        notes = [replace(note, hairpins=(pin,) * (place == 7)) for place, note in enumerate(plain)]
        marks = marks_of("contrasts", notes, FIGURES)
        assert [place for place, mark in enumerate(marks) if mark] == found


def test_lone_notes_between_rests_are_counted_where_they_come_on_changing_beats() -> None:
    """On beats three, one and two over empty bars they are a row, with grace notes too; evenly not."""
    way = TABLES.ways["upbeats"]
    hit = "A5:1/4"
    changing = f"{PLAIN} r:1/2 {hit} r:5/4 {hit} r:3/4 {hit} r:3/4 r:1/4 {hit} r:1/2 {PLAIN}"
    even = f"{PLAIN} r:1/2 {hit} r:3/4 {hit} r:3/4 {hit} r:3/4 {hit} r:1/4 {PLAIN}"
    ((first, last),) = fitting_bars(notes_of(changing), way, FIGURES)
    notes = notes_of(changing)
    assert (notes[first].bar, notes[last].bar) == ("2", "6")
    graced = notes_of(changing.replace(f"r:3/4 {hit}", "r:3/4 {C6} A5:1/4"))
    assert sum(marks_of("upbeats", graced, FIGURES)) == sum(marks_of("upbeats", notes, FIGURES)) == 4
    assert fitting_bars(notes_of(even), way, FIGURES) == []


def test_over_a_rest_that_is_counted_no_dynamic_changes_at_once() -> None:
    """Half a bar between f, or an accent, and p is little; a bar less a quarter gives time."""
    for rest, sudden in (("1/2", 1), ("3/4", 0)):
        notes = [
            replace(note, dynamic="f", dynamic_sure=True) for note in notes_of(f"{PLAIN} r:{rest} {PLAIN}")
        ]
        notes[4] = replace(notes[4], dynamic="p", dynamic_mark="p")
        assert sum(marks_of("contrasts", notes, FIGURES)) == sudden
        notes[3] = replace(notes[3], stress=Stress("sf", "f"))
        assert sum(marks_of("contrasts", notes, FIGURES)) == sudden


def test_repeated_notes_begin_with_their_own_bar() -> None:
    """Of a bar of other notes and two that repeat theirs work is on these."""
    moving, same = "A5:1/8 B5:1/8 C6:1/8 D6:1/8 E6:1/8 D6:1/8 C6:1/8 B5:1/8", "A5 A5 A5 A5 A5 A5 A5 A5 A5:1/2"
    ((first, _),) = fitting_bars(notes_of(moving, same, PLAIN), TABLES.ways["repeated"], FIGURES)
    assert notes_of(moving, same, PLAIN)[first].bar == "2"


def test_a_rhythm_is_asked_for_where_it_goes_on_for_four_bars_of_a_long_passage() -> None:
    """Eighths after eighth rests, sixteen notes among two hundred; eight of them are too few."""
    rushed = "A5:1/4 r:1/8 B5:1/8 C6:1/4 r:1/8 D6:1/8"
    for bars, asked in ((4, True), (2, False)):
        notes = barred(" ".join([*[PLAIN] * 40, *[rushed] * bars, *[PLAIN] * 10]), 240).notes
        assert ("rhythm" in questions_of(notes, FIGURES).ways) is asked


@pytest.mark.parametrize(
    ("odd", "marked"),
    [
        ("A5:1/16 B5:3/16 A5:1/4 A5:1/2", ["B5"]),
        ("r:1/4 C6:1/3 D6:1/12 E6:1/12 A5:1/4", ["D6"]),
        ("(C6:1/6 D6:1/6 E6:1/6) A5:1/2", ["C6"]),
    ],
)
def test_a_snap_a_tie_into_triplets_and_slow_triplets_are_a_rhythm_even_once(
    odd: str, marked: list[str]
) -> None:
    """Where the short note is on the beat, the first after the tie, the first of three quarters in a half."""
    notes = notes_of(PLAIN, odd, PLAIN)
    marks = marks_of("uneven", notes, FIGURES)
    assert [note.pitch.name for note, mark in zip(notes, marks, strict=True) if mark > 1] == marked
    ((first, last),) = fitting_bars(notes, TABLES.ways["rhythm"], FIGURES)
    within = notes[first : last + 1]
    assert marked[0] in [note.pitch.name for note in within[:-1]]


def test_a_last_sixteenth_after_a_rest_is_an_upbeat_and_two_are_a_figure() -> None:
    """A longer rest before it is counted, too; two sixteenths that run on to the beat are none."""
    for upbeat, many in (("B5:1/4 r:3/16 A5:1/16", 1), ("B5:1/4 r:1/8 A5:1/16 G5:1/16", 0)):
        notes = notes_of(PLAIN, f"{upbeat} B5:1/4 C6:1/4", PLAIN)
        assert sum(marks_of("uneven", notes, FIGURES)) == many


def test_quarters_that_come_an_eighth_late_are_against_the_beat_in_cut_time() -> None:
    """Each is held over a quarter, though not each over the half that is felt."""
    late = barred("A5:1/8 B5:1/4 C6:1/4 D6:1/4 E6:1/8", 200).notes
    cut = [replace(note, metre=(2, 2)) for note in late]
    assert sum(marks_of("uneven", cut, FIGURES)) == 3
