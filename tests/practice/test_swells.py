"""What grows or fades for long is worked on in its bars: what grows first, then soft and sung ones."""

from dataclasses import replace
from fractions import Fraction

from tests.oracles.passages import barred
from tests.oracles.practice import FIGURES

from gripway.model.passage import CRESCENDO, DIMINUENDO, Hairpin, Note
from gripway.practice.ways.swells import grown as louder
from gripway.practice.ways.swells import grows_and_fades, swells
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

BAR = "G5:1/4 A5:1/4 B5:1/4 C6:1/4"


def notes_of(count: int) -> list[Note]:
    """Bars of four quarters at 100, in f."""
    return [replace(note, metre=(4, 4)) for note in barred("f " + " ".join([BAR] * count), 100).notes]


def grown(notes: list[Note], *ends: tuple[int, int]) -> list[Note]:
    """Notes with a hairpin from one to another each."""
    made = [*notes]
    for first, last in ends:
        for place in range(first, last + 1):
            pin = Hairpin(CRESCENDO, Fraction(first - place, 4), Fraction(last + 1 - place, 4))
            made[place] = replace(made[place], hairpins=(pin,))
    return made


def marked(notes: list[Note], place: int, level: str) -> list[Note]:
    """Notes with a mark, which holds from there on."""
    return [
        replace(note, dynamic=level, dynamic_mark=level if at == place else "") if at >= place else note
        for at, note in enumerate(notes)
    ]


def bars(notes: list[Note]) -> list[tuple[str, str]]:
    """First and last bars of what is found."""
    return [(notes[first].bar, notes[last].bar) for first, last in swells(notes, FIGURES)]


def test_two_bars_that_grow_are_work_and_a_shorter_hairpin_is_none() -> None:
    """Eight quarters are, seven are not; they go to the bar they arrive at, from that of the level before."""
    assert bars(grown(notes_of(6), (8, 15))) == [("3", "5")]
    assert bars(grown(notes_of(6), (4, 11))) == [("1", "4")]
    assert bars(grown(notes_of(6), (8, 14))) == []


def test_what_fades_up_to_a_high_soft_note_is_work_however_short() -> None:
    """A bar that rises and fades to E6 in pp is; to E5, or in f, it is none."""
    line = "G5:1/4 A5:1/4 B5:1/4 C6:1/4 {}:1/1 G5:1/1"

    def faded(top: str, level: str) -> list[Note]:
        notes = [replace(note, metre=(4, 4)) for note in barred("f " + line.format(top), 100).notes]
        for place in range(4):
            pin = Hairpin(DIMINUENDO, Fraction(-place, 4), Fraction(4 - place, 4))
            notes[place] = replace(notes[place], hairpins=(pin,))
        return marked(notes, 4, level)

    assert bars(faded("E6", "pp")) == [("1", "2")]
    assert bars(faded("E5", "pp")) == []
    assert bars(faded("E6", "f")) == []


def test_three_hairpins_one_after_another_are_work() -> None:
    """Each on one note, with a note between them; two are not."""
    assert bars(grown(notes_of(6), (8, 8), (10, 10), (12, 12))) == [("3", "5")]
    assert bars(grown(notes_of(6), (4, 4), (6, 6))) == []


def test_a_word_holds_up_to_the_next_mark() -> None:
    """Two bars of cresc. on to ff, whose bar is with them; a mark in the next bar ends it."""
    notes = notes_of(8)
    notes[8] = replace(notes[8], words=("poco cresc.",))
    assert bars(marked(notes, 16, "ff")) == [("3", "5")]
    assert bars(marked(notes, 12, "ff")) == []


def test_what_grows_to_no_louder_mark_ends_where_the_music_breathes() -> None:
    """A cresc. in p, a bar of rest, then p; without the rest it is soft at once, and that note is with it."""
    rest = [replace(n, metre=(4, 4)) for n in barred(f"p {BAR} {BAR} {BAR} r:1/1 {BAR} {BAR}", 100).notes]
    plain = [replace(n, metre=(4, 4)) for n in barred(f"p {BAR} {BAR} {BAR} {BAR} {BAR}", 100).notes]
    for notes, found in ((rest, ("1", "3")), (plain, ("1", "4"))):
        notes[4] = replace(notes[4], words=("cresc.",))
        assert bars(marked(notes, 12, "p")) == [found]


def test_what_fades_begins_where_a_crescendo_ends() -> None:
    """A word ends where a hairpin turns the other way, and both are one piece of work."""
    notes = grown(notes_of(8), (8, 11))
    notes[8] = replace(notes[8], words=("cresc.",), hairpins=())
    for place in range(16, 24):
        pin = Hairpin(DIMINUENDO, Fraction(16 - place, 4), Fraction(24 - place, 4))
        notes[place] = replace(notes[place], hairpins=(pin,))
    (found,) = swells(notes, FIGURES)
    assert (notes[found[0]].bar, notes[found[1]].bar) == ("3", "7")
    assert grows_and_fades(notes, found) == (True, True)


def test_notes_under_a_running_crescendo_are_louder_than_their_mark() -> None:
    """From the note after its beginning on; what fades again as much is back at its mark."""
    notes = grown(notes_of(4), (4, 7))
    for place in range(8, 12):
        pin = Hairpin(DIMINUENDO, Fraction(8 - place, 4), Fraction(12 - place, 4))
        notes[place] = replace(notes[place], hairpins=(pin,))
    assert louder(notes) == [False] * 5 + [True] * 4 + [False] * 7
    assert louder(marked(notes, 6, "f"))[6:8] == [False, True]


def test_a_word_under_a_held_note_holds_over_a_rest_to_a_far_mark() -> None:
    """A cresc. below the second half of a long note, a mark below another fourteen bars on."""
    notes = [
        replace(n, metre=(4, 4))
        for n in barred(f"p A5:2/1 {BAR} r:1/1 " + f"{BAR} " * 12 + "D6:2/1", 240).notes
    ]
    notes[0] = replace(notes[0], during=((Fraction(1), "cresc."),))
    assert bars(notes) == [("1", "3")]
    notes[-1] = replace(notes[-1], during=((Fraction(1), "poco f"),))
    assert bars(notes) == [("1", "17")]


def test_a_crescendo_ends_with_the_note_it_arrives_at_before_a_rest() -> None:
    """A short f on the beat, a rest, then another phrase in its bar."""
    line = f"p {BAR} {BAR} {BAR} D6:1/4 r:1/4 A5:1/2 {BAR}"
    notes = [replace(n, metre=(4, 4)) for n in barred(line, 100).notes]
    notes[4] = replace(notes[4], words=("cresc.",))
    ((_, last),) = swells(marked(notes, 12, "f"), FIGURES)
    assert last == 12


def test_soft_ones_come_before_longer_loud_ones() -> None:
    """Two bars in p, then three in f."""
    notes = grown(notes_of(10), (0, 11), (28, 35))
    assert bars(
        [replace(note, dynamic="p") if place >= 28 else note for place, note in enumerate(notes)]
    ) == [
        ("8", "10"),
        ("1", "4"),
    ]


def test_what_grows_comes_before_what_fades_and_is_called_so() -> None:
    """Four bars that fade, then two that grow; words count as hairpins do."""
    notes = grown(notes_of(12), (32, 39))
    for place in range(16):
        pin = Hairpin(DIMINUENDO, Fraction(-place, 4), Fraction(16 - place, 4))
        notes[place] = replace(notes[place], hairpins=(pin,))
    assert bars(notes) == [("9", "11"), ("1", "5")]
    assert grows_and_fades(notes, (32, 39)) == (True, False)
    assert grows_and_fades(notes, (0, 15)) == (False, True)
    assert grows_and_fades(notes, (0, 39)) == (True, True)
    assert grows_and_fades(notes, (0, 32)) == (False, True)
    said = [*notes_of(4)]
    said[0] = replace(said[0], words=("sempre decresc.",))
    assert grows_and_fades(said, (0, 15)) == (False, True)


def test_a_plan_names_a_crescendo() -> None:
    """A plan of a part that only grows has no diminuendo."""
    notes = tuple(grown(notes_of(12), (8, 31)))
    plan = practise(replace(barred(BAR, 100), notes=notes), flute(), time=PracticeTime(20, 4))
    ways = {study.way for day in plan.days for study in day.studies}
    assert "crescendo" in ways
    assert not {"swells", "diminuendo"} & ways


def test_a_crescendo_goes_to_the_level_under_a_note_that_is_held_over_the_bar_line() -> None:
    """The f stands in the bar after the one in which its note begins: that bar is with it."""
    notes = notes_of(6)
    notes[1] = replace(notes[1], words=("cresc.",))
    held = replace(notes[15], length=Fraction(1, 2), during=((Fraction(1, 4), "f"),))
    notes = [*notes[:15], held, *notes[17:]]
    ((_, last),) = swells(notes, FIGURES)
    assert notes[last].bar == "5"
