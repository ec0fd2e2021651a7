"""What a passage asks besides quick fingers, and which ways of working answer it: rhythm, tongue, breath."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.ways.breathing import NO_BREATHING, Breathing, breathing_of
from gripway.practice.ways.way_conditions import is_detached, is_dotted, is_shaded

RHYTHM, PHRASE, ECHO, ENTRY = "rhythm", "phrase", "echo", "entry"

TONGUES = ("single", "double", "triple")

LAST_DAYS = 3
"""The last days are for the line: so many of them, and not the first two of a plan (judgement)."""

TONGUE_LEFT = 2
"""With so many days left what is tongued gets to its tempo (judgement)."""


@dataclass(frozen=True, slots=True)
class Questions:
    """The ways the music asks for, rhythm before all others, and where one can breathe in it."""

    ways: tuple[str, ...] = ()
    breathing: Breathing = NO_BREATHING


NO_QUESTIONS = Questions()
"""Nothing besides quick fingers."""


def questions_of(notes: Sequence[Note], figures: PracticeFigures) -> Questions:
    """What the music asks for."""
    breathing = breathing_of(notes, figures)
    return Questions(tuple(_found(notes, breathing, figures)), breathing)


def is_asked(way: str, day: int, left: int, used: int, *, at_tempo: bool, tongued: float = 1.0) -> bool:
    """Whether a way the music asks for is due on a day; `left` are the days with it, `used` when it was last.

    Rhythm comes daily, every second day once the passage was `at_tempo`, the tongue every second day and on
    the last but one where what is `tongued` has not been at its tempo, line, echo and entrances in the last
    days.
    """
    if way == RHYTHM:
        return (left > 1 or day == 1) and (used < day - 1 or not at_tempo)
    if way in TONGUES:
        return used < day - 1 or not used or (left == TONGUE_LEFT and tongued < 1)
    return day >= LAST_DAYS and left <= LAST_DAYS and used < day - 1


def _found(notes: Sequence[Note], breathing: Breathing, figures: PracticeFigures) -> Iterator[str]:
    if is_dotted(notes, figures):
        yield RHYTHM
    if is_detached(notes, figures):
        yield from TONGUES
    if breathing.is_asked:
        yield PHRASE
    if not is_shaded(notes):
        yield ECHO
    yield ENTRY
