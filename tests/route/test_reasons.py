"""Reasons are the numbers added: the terms told, with the rest, are the difference told."""

import re

import pytest

import gripway
from gripway.asked.limit_words import parse_limits
from gripway.asked.wishes import FEWEST_MOVERS, Pin, Wishes
from gripway.model.grip import Grip

TERM = re.compile(r"[+-]\d+\.\d\d")
LINES = [
    "(B4 F#6 B4 F#6 D6) (C6 D6 C6 D6)",
    "pp C5 D5 E5 F#5 G5 A5 Bb5 B5 C6 D6 E6:1/1 C#5:1/1",
    "(A#5 B5 A#5 B5) (E4 F#4 E4 F#4) Bb6 D7",
]


@pytest.mark.parametrize("tempo", [140, 160, 180])
@pytest.mark.parametrize("line", LINES)
def test_the_terms_told_add_up(line: str, tempo: int) -> None:
    """`would take X more: a, b, c, the rest d`: a + b + c + d is X, to the rounding of each."""
    route = gripway.finger(gripway.notes(line, tempo), gripway.flute())
    told = [note.why for note in route.notes if "would take" in note.why and "as much" not in note.why]
    assert told
    for why in told:
        head, _, tail = why.partition(": ")
        more = float(re.findall(r"take (\d+\.\d\d) more", head)[0])
        terms = [float(term) for term in TERM.findall(tail)]
        assert sum(terms) == pytest.approx(more, abs=0.006 * (len(terms) + 1)), why


def test_counting_fingers_gives_reasons_in_fingers() -> None:
    """The baseline of moving fingers tells moving fingers, and no part of an effort."""
    passage = gripway.notes("E6 F#6 G#6 A6 B6 A6 G#6", 100)
    route = gripway.finger(passage, gripway.flute(), Wishes(choose=FEWEST_MOVERS))
    told = [note.why for note in route.notes if "would take" in note.why and "as much" not in note.why]
    assert told
    assert all("more moving fingers" in why and "finger work" not in why for why in told)


def test_a_pinned_grip_is_there_because_it_was_asked_for() -> None:
    """Nothing is said of what the standard grip could do: it was not looked at."""
    passage = gripway.notes("E6 F#6 G6", 100)
    pins = (Pin(1, Grip.parse("T L1 L3 | R2 Eb")),)
    for wishes in (Wishes(pins=pins), Wishes(pins=pins, limits=parse_limits(["no note over 60 cents"]))):
        note = gripway.finger(passage, gripway.flute(), wishes).notes[1]
        assert note.why == "by what was asked for no standard grip may stand here"
