"""Bars that are printed alone: where they are told the dynamic that was printed before them."""

import pytest
from tests.score.small_scores import bar, direction, note, read, score

from gripway.practice.drills.held_dynamic import is_dynamic_told
from gripway.score.reading.dynamics import SILENT_BARS

FORTE, SOFT = (direction(f"<dynamics><{mark}/></dynamics>") for mark in ("f", "p"))
CRESC, DIM, FASTER = (direction(f"<words>{word}</words>") for word in ("cresc.", "dim.", "Più mosso"))
FULL = note("C5", 16)
"""A whole note: a bar of 4/4."""
SILENT, HALF = note("r", 16), note("r", 8)
TIME = "<time><beats>4</beats><beat-type>4</beat-type></time>"


def told(*contents: str) -> bool:
    """Whether the note in bar 3 is told what holds there."""
    bars = [
        bar(content, str(number), attributes=TIME * (number == 1))
        for number, content in enumerate(contents, start=1)
    ]
    notes = read(score(*bars)).passage.notes
    return is_dynamic_told(notes, next(at for at, each in enumerate(notes) if each.bar == "3"))


@pytest.mark.parametrize(("bars", "is_told"), [(0, True), (1, True), (SILENT_BARS + 1, False)])
def test_over_long_silence_no_dynamic_is_told(bars: int, is_told: bool) -> None:
    """Over a bar or two it holds."""
    silent = [SILENT] * bars
    contents = [FORTE + FULL, note("C5", 8) + HALF, *silent, FULL]
    made = [
        bar(each, str(number), attributes=TIME * (number == 1)) for number, each in enumerate(contents, 1)
    ]
    notes = read(score(*made)).passage.notes
    assert is_dynamic_told(notes, len(notes) - 1) is is_told


def test_behind_a_word_of_tempo_no_dynamic_is_told() -> None:
    """There it begins anew; a mark after the word is told further on."""
    assert not told(FORTE + FULL, FASTER + FULL, FULL)
    assert told(FORTE + FULL, FASTER + FORTE + FULL, FULL)


@pytest.mark.parametrize(
    ("mark", "word", "leads_to", "is_told"),
    [
        (FORTE, CRESC, FORTE, False),
        (SOFT, CRESC, FORTE, True),
        (SOFT, DIM, SOFT, False),
        (FORTE, DIM, SOFT, True),
        (FORTE, CRESC, "", True),
    ],
)
def test_what_grows_to_its_own_level_is_not_told_it(
    mark: str, word: str, leads_to: str, is_told: bool
) -> None:
    """F before a crescendo to f would be wrong; without a mark to lead to nothing speaks against it."""
    for begins in (word + FULL, FULL):  # at the note itself, or a bar later
        later = FULL if begins != FULL else word + FULL
        assert told(mark + FULL, FULL, begins, later, leads_to + FULL) is is_told
