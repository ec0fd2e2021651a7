"""Whole grips where the notes beside leave room, the difference where they do not."""

from gripway.asked.wishes import Pin, Wishes
from gripway.model.grip import Grip
from gripway.model.house_style import HouseStyle
from gripway.tasks.editions import edit
from gripway.tasks.flutes import flute
from gripway.tasks.scores import notes

MIDDLE = Grip.parse("T L1 L3 | R2 Eb")
"""F#6 with the middle finger (common practice, no source)."""

WHOLE, SHORT = "T 1 3 | 2 Eb", "R2"


def texts(line: str, *places: int, **house: object) -> list[str]:
    """The marks of a line with these F#6 in the middle finger's grip."""
    wishes = Wishes(pins=tuple(Pin(place, MIDDLE) for place in places))
    asked = HouseStyle(**{"which": "every", "form": "fitting", **house})  # type: ignore[arg-type]
    passage = notes(line, tempo=60)
    marked = edit(passage, flute(), wishes, asked).marked
    found = {each.note.index: each.written[0].text for each in marked}
    return [found[place] for place in places]


def test_half_notes_have_room_and_quick_notes_have_not() -> None:
    """Whether the grip is written out follows the printed width of its note and the one before."""
    few = {"which": "needed", "least_gain": 0.0}
    assert texts("E6:1/2 F#6:1/2 G6:1/2", 1, **few) == [WHOLE]
    assert texts("E6:1/4 F#6:1/4 G6:1/4", 1, **few) == [SHORT]
    assert texts("E6:1/2 F#6:1/2 G6:1/2", 1, **few, font_points=12.0) == [SHORT]
    assert texts("E6:1/32 F#6:1/32 G6:1/32", 1, **few) == [SHORT]


def test_words_end_before_the_next_note() -> None:
    """They begin at their note, so that a half note has no room for them, nor over the note behind it."""
    words = {"which": "needed", "least_gain": 0.0, "style": "words"}
    assert texts("E6:1/2 F#6:1/2 G6:2/1", 1, **words) == [SHORT]
    assert texts("E6:1/2 F#6:2/1 G6:1/2", 1, **words) == [WHOLE]


def test_a_mark_beside_takes_the_room() -> None:
    """Every note of this style is marked: a half note between halves has half of the room it has alone."""
    assert texts("E6:1/2 F#6:1/2 G6:1/2", 1) == [SHORT]
    assert texts("E6:2/1 F#6:2/1 G6:2/1", 1) == [WHOLE]


def test_smaller_letters_have_room_sooner() -> None:
    """At four points the grip fits where at eight it does not."""
    assert texts("E6:1/2 F#6:1/2 G6:1/2", 1) == [SHORT]
    assert texts("E6:1/2 F#6:1/2 G6:1/2", 1, font_points=4.0) == [WHOLE]


def test_the_last_note_has_the_room_of_its_own_length() -> None:
    """Behind a long note too: a long one has room up to the bar line, a quarter has not."""
    words = {"which": "needed", "least_gain": 0.0, "style": "words"}
    assert texts("E6:2/1 G6:2/1 F#6:2/1", 2, **words) == [WHOLE]
    assert texts("E6:2/1 G6:2/1 F#6:1/4", 2, **words) == [SHORT]
