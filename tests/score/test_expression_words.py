"""Words over the staff that say how to play, and bars that are asked for without a note."""

import pytest
from tests.score.small_scores import bar, direction, note, read, score

from gripway.model.passage import Passage
from gripway.score.notation import read_notation
from gripway.score.reading.expression_words import expression_of
from gripway.score.writing.write_score import write_passage


def said(text: str) -> str:
    """A direction in words."""
    return direction(f"<words>{text}</words>")


@pytest.mark.parametrize("text", ["dolce", "molto espressivo", "sempre leggiero", "cresc.", "con fuoco"])
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


def test_bars_asked_for_in_which_no_note_begins_are_named() -> None:
    """At both ends; a bar of rest in between is none, and without a wish none is."""
    bars = [
        bar(note(each, 16), str(number)) for number, each in enumerate(["r", "C5", "r", "D5", "r"], start=1)
    ]
    assert read(score(*bars), bars="1-5").passage.silent_bars == ("1", "5")
    assert read(score(*bars), bars="2-4").passage.silent_bars == ()
    assert read(score(*bars)).passage.silent_bars == ()
    assert read_notation("C5", 1, 120, 0).silent_bars == ()  # type: ignore[arg-type]
