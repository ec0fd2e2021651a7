"""Words over the staff that say how to play, and bars that are asked for without a note."""

import pytest
from tests.score.small_scores import bar, direction, note, read, score

from gripway.model.passage import Note, Passage
from gripway.practice.cells.short_passages import words_at_beginning
from gripway.score.notation import read_notation
from gripway.score.reading.expression_words import expression_of
from gripway.score.writing.write_score import write_passage


def said(text: str) -> str:
    """A direction in words."""
    return direction(f"<words>{text}</words>")


@pytest.mark.parametrize(
    "text",
    [
        "dolce",
        "molto espressivo",
        "sempre leggiero",
        "cresc.",
        "con fuoco",
        "animato",
        "Très décidé",
        "a tempo",
        "un peu en dehors",
        "molto tenuto",
        "Un peu à l'aise, souple",
    ],
)
def test_words_that_say_how_to_play_are_kept_as_written(text: str) -> None:
    """They stand at the next note, over a rest between."""
    notes = read(score(bar(note("C5") + said(text) + note("r") + note("D5")))).passage.notes
    assert [each.words for each in notes] == [(), (text,)]


@pytest.mark.parametrize(
    "text", ["a 2", "1. solo", "Allegro", "Concerto", "sempre", "D.C. al Fine", "T 1 | Eb"]
)
def test_other_words_are_not(text: str) -> None:
    """Players, tempos, titles, jumps and grips are no words of expression; sempre alone says nothing."""
    assert expression_of(text) == ""


def test_written_words_are_read_again() -> None:
    """What is written from notes with words has them on the same notes."""
    passage = read(score(bar(note("C5") + said("dolce") + note("D5")))).passage
    again = read(write_passage(Passage(passage.notes)).data).passage
    assert [each.words for each in again.notes] == [(), ("dolce",)]


def bar_of_upbeat(passage: Passage) -> str:
    """The bar of the upbeat to a passage; empty without one."""
    return passage.upbeat.notes[0].bar if passage.upbeat else ""


def test_the_upbeat_that_was_not_asked_for_is_known() -> None:
    """It begins after a rest in the bar before; a line that comes from further back has none."""
    upbeat = bar(note("r") + note("D5"), "1")
    for before, known in ((upbeat, "1"), (bar(note("D5", 8), "1"), ""), (bar(note("r", 8), "1"), "")):
        passage = read(score(before, bar(note("E5", 8), "2")), bars="2").passage
        assert bar_of_upbeat(passage) == known
    found = read(score(upbeat, bar(note("E5", 8), "2")), bars="2").passage.upbeat
    assert found is not None
    assert [(each.pitch.name, each.onset) for each in found.notes] == [("D5", 0)]
    assert found.length == found.notes[0].length
    assert bar_of_upbeat(read(score(upbeat, bar(note("r") + note("E5"), "2")), bars="2").passage) == ""
    assert bar_of_upbeat(read(score(upbeat, bar(note("E5", 8), "2"))).passage) == ""


def test_bars_asked_for_in_which_no_note_begins_are_named() -> None:
    """At both ends; a bar of rest in between is none, and without a wish none is."""
    bars = [
        bar(note(each, 16), str(number)) for number, each in enumerate(["r", "C5", "r", "D5", "r"], start=1)
    ]
    assert read(score(*bars), bars="1-5").passage.silent_bars == ("1", "5")
    assert read(score(*bars), bars="2-4").passage.silent_bars == ()
    assert read(score(*bars)).passage.silent_bars == ()
    assert read_notation("C5", 1, 120, 0).silent_bars == ()  # type: ignore[arg-type]


def words_of(*music: str) -> list[tuple[tuple[str, ...], tuple[str, ...]]]:
    """The words of each note of some bars, and those that hold there."""
    bars = (bar(each, str(number)) for number, each in enumerate(music, start=1))
    return [(each.words, each.manner) for each in read(score(*bars)).passage.notes]


def test_a_later_word_of_tempo_or_character_takes_the_place_of_one_no_note_has_met() -> None:
    """Calando over a rest before animato is over, and so is what stood before Allegro; cresc. goes on.

    At a note of a later bar it stands in brackets.
    """
    rest = note("r", 16)
    assert words_of(said("calando") + rest, said("animato") + rest, note("C5", 16)) == [
        (("[animato]",), ("animato",))
    ]
    assert words_of(said("gracieux") + rest, said("Allegro") + note("C5")) == [((), ())]
    assert words_of(said("gai") + rest, said("cresc.") + note("C5")) == [(("[gai]", "cresc."), ("gai",))]


def test_a_word_of_character_holds_until_the_next_one() -> None:
    """Over changes on the way; two at one place hold together."""
    music = said("gai") + note("C5", 8) + said("cresc.") + note("E5", 8)
    after = said("Très décidé") + said("sans presser") + note("G5") + note("A5")
    both = ("Très décidé", "sans presser")
    assert [manner for _, manner in words_of(music, after)] == [("gai",)] * 2 + [both] * 2


def test_a_word_holds_no_longer_than_its_section() -> None:
    """Not past words such as variation 4, a rehearsal mark, a double bar or three bars of rest."""
    first, plain, rest = said("ben marc.") + note("C5", 16), note("D5", 16), note("r", 16)
    ends = '<barline location="right"><bar-style>light-light</bar-style></barline>'
    letter = direction("<rehearsal>B</rehearsal>")
    held = ("ben marc.",)
    for music, told in (
        ((first, plain), held),
        ((first, said("variation 4") + plain), ()),
        ((first, letter + plain), ()),
        ((first + ends, plain), ()),
        ((first, rest, plain), held),
        ((first, rest, rest, rest, plain), ()),
    ):
        assert [manner for _, manner in words_of(*music)] == [held, told]


def test_a_word_holds_until_the_next_dynamic_mark() -> None:
    """Dolce beside its own p holds, after f no more, but over a sf."""

    def mark(name: str) -> str:
        return direction(f"<dynamics><{name}/></dynamics>")

    for word in ("dolce", "gai"):
        music = said(word) + mark("p") + note("C5") + mark("sf") + note("D5") + mark("f") + note("E5")
        assert [manner for _, manner in words_of(music)] == [(word,), (word,), ()]


def test_what_begins_inside_a_passage_has_the_last_word_that_holds_in_brackets() -> None:
    """From the second bar on: gai was written in the first; where another begins there it is alone."""
    first, plain = said("gai") + note("C5", 16), note("D5", 16)
    assert words_at_beginning(_second(first, plain)) == ("[gai]",)
    assert words_at_beginning(_second(first, said("cresc.") + plain)) == ("[gai]", "cresc.")
    assert words_at_beginning(_second(first, said("animato") + plain)) == ("animato",)
    assert words_at_beginning(_second(first, said("Allegro") + plain)) == ()


def _second(*music: str) -> Note:
    """The note of the second bar alone."""
    bars = (bar(each, str(number)) for number, each in enumerate(music, start=1))
    (found,) = read(score(*bars), bars="2").passage.notes
    return found


def test_a_word_in_two_directions_is_one() -> None:
    """A word that was set in two pieces at one place is read whole, in whichever order they come."""
    for pieces in (("mar", "c."), ("c.", "mar")):
        said = "".join(direction(f"<words>{each}</words>") for each in pieces)
        assert read(score(bar(said + note("C5")))).passage.notes[0].words == ("marc.",)
    apart = direction("<words>c.</words>") + note("C5") + direction("<words>mar</words>") + note("D5")
    assert [each.words for each in read(score(bar(apart))).passage.notes] == [(), ()]
