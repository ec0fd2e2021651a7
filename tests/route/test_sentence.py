"""The answer in one sentence: what to do, with the tempo where it was assumed."""

from dataclasses import replace

import pytest
from tests.oracles.flutes import solver_of
from tests.oracles.passages import played

from gripway.asked.limits import Limits
from gripway.asked.wishes import Pin, Wishes
from gripway.limits.answer import solve_within
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.route.words.sentence import sentence

CELL = "(D5 E5 F#5 G5) (F#5 E5 F#5 E5 F#5 E5 D5)"
"""E5 and F#5 by turns: the middle finger for F# is common practice in such places."""


def said(text: str | Passage, *pins: tuple[int, str], tempo: float = 60.0, **wishes: object) -> str:
    """The sentence of a passage with these notes pinned to these grips."""
    passage = played(text, tempo) if isinstance(text, str) else text
    asked = tuple(Pin(note, Grip.parse(grip)) for note, grip in pins)
    return sentence(solve_within(solver_of(), passage, Wishes(pins=asked, **wishes)))  # type: ignore[arg-type]


def test_a_plain_scale_stays_plain() -> None:
    """Nothing but that is said of a slow scale."""
    assert said("C5 D5 E5 F5 G5 A5 B5 C6") == "Stay with the standard grips."


def test_late_changes_are_told_beside_the_grips() -> None:
    """A line of standard grips that is too fast all the same says how many changes are."""
    assert said("(F#6 G#6) B6", tempo=150.0) == "Stay with the standard grips; 1 change comes late even so."


@pytest.mark.parametrize(
    ("text", "pin", "words"),
    [
        ("D6 F#6:1/4", (1, "T 1 3 | 2 Eb"), "F#6 with the right middle finger (T 1 3 | 2 Eb) on note 2"),
        (
            "D6 F6:1/4",
            (1, "T 1 3 | 1 3 Eb"),
            "F6 with the right ring finger added (T 1 3 | 1 3 Eb) on note 2",
        ),
        ("D6 D#6:1/4", (0, "T 2 3 |"), "D6 without the E-flat key (T 2 3 |) on note 1"),
        ("D6 E6:1/4", (1, "T 1 2 | Eb"), "E6 as overblown A4 (T 1 2 | Eb) on note 2"),
    ],
)
def test_a_grip_is_told_by_what_makes_the_difference(text: str, pin: tuple[int, str], words: str) -> None:
    """A finger or key where one makes it, the low note that is overblown, and always the touches."""
    assert words in said(text, pin)


def test_the_places_of_a_grip_are_told_shortly() -> None:
    """Neighbouring notes are drawn together, a grip that every such note has stands throughout."""
    pins = [(place, "T 1 2 3 | 2 Eb") for place in (0, 1, 2)]
    assert "on notes 1-3;" in f"{said('F#5 F#5 F#5 E5 F#5:1/2', *pins)};".replace(".", "")
    every = [(place, "T 1 2 3 | 2 Eb") for place in (0, 2, 4, 6)]
    assert said("F#5 E5 F#5 E5 F#5 E5 F#5", *every).endswith("(T 1 2 3 | 2 Eb) throughout.")


def test_no_more_than_three_grips_are_spelt_out() -> None:
    """The others are counted."""
    pins = [(0, "T 1 3 | 2 Eb"), (2, "T 1 2 | Eb"), (4, "T 1 2 3 | 2 Eb"), (6, "T 2 3 |"), (8, "T 2 | Eb")]
    text = said("F#6:1/4 r E6:1/4 r F#5:1/4 r D6:1/4 r A6:1/4".replace(" r ", " C6 "), *pins)
    assert text.count(" (") + text.count(" grip ") == 3
    assert "; and 2 more below" in text


def test_b_flats_are_said_plainly() -> None:
    """The thumb for most, and where the other one is taken."""
    thumb, lever = "Tb 1 | Eb", "T 1 | Sb Eb"
    assert said("Bb5 C6 Bb5:1/4", (0, thumb), (2, thumb)).endswith("; B-flats with the thumb.")
    mixed = said("Bb5 C6 Bb5 C6 A#5:1/4", (0, thumb), (2, thumb), (4, lever))
    assert mixed.endswith("; B-flats with the thumb, but A#5 with the side lever on note 5.")


def test_the_tempo_stands_first_where_it_was_assumed() -> None:
    """Assumed or from a word: both are told, a number is not; a long heading is cut."""
    passage = played("C5 D5 E5 F5 G5 A5 B5 C6", 96)
    assumed = sentence(solver_of().solve(replace(passage, tempo_by="assumed")))
    assert assumed == "At quarter = 96 (assumed): stay with the standard grips."
    long = sentence(solver_of().solve(replace(passage, tempo_by="Allegro " * 20)))
    assert len(long) < 120
    assert "Allegro..." in long


def test_gaps_and_conflicts_are_said() -> None:
    """A note without a grip is named; limits that cannot be kept are no answer."""
    assert said("E6 F7 E6").endswith("; no grip for F7 on note 2.")
    assert said("F7 F#7") == "No note has a grip."
    none = Limits(unusual=0)
    assert said("D6 F#6:1/4", (1, "T 1 3 | 2 Eb"), limits=none) == "No route keeps these limits."


def test_a_baseline_is_no_advice() -> None:
    """What is for comparison says so."""
    assert said(CELL, choose="movers").startswith("Not the least effort, but for comparison: ")


def test_b_flats_are_named_as_they_are_written() -> None:
    """A-sharp and B-flat taken alike are told together, each by its own name."""
    lever, long_one = "Tb 1 | Eb", "T 1 | 1 Eb"
    pins = [*((k, long_one) for k in range(3)), (3, lever), (4, lever)]
    words = said("Bb4 r Bb4 r Bb4 r A#5 r Bb5", *pins)
    assert "but A#5 and Bb5 with the thumb on notes 4-5" in words, words


def test_three_names_of_a_b_flat_are_all_told() -> None:
    """Three are spelt out; four would be a list that nobody reads."""
    lever, long_one = "Tb 1 | Eb", "T 1 | 1 Eb"
    pins = [*((k, long_one) for k in range(4)), *((k, lever) for k in (4, 5, 6))]
    words = said("Bb4 r Bb4 r Bb4 r Bb4 r A#4 r A#5 r Bb5", *pins)
    assert "but A#4, A#5 and Bb5 with the thumb on notes 5-7" in words, words


def test_b_flats_beside_exceptions_stand_apart() -> None:
    """Standard B-flats are a choice of three and no exception: they begin a sentence of their own."""
    text = said("F#6 Bb5:1/4", (0, "T 1 3 | 2 Eb"), (1, "T 1 | 1 Eb"))
    assert text.endswith("on note 1. B-flats: with the right index finger.")
