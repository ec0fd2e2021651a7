"""What a passage asks besides quick fingers, and which ways of working answer it: rhythm, tongue, line."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.ways.breathing import LongLine, long_lines
from gripway.practice.ways.entrances import entering, entrances
from gripway.practice.ways.fitting_bars import share_against, share_tied
from gripway.practice.ways.lines import singing_lines
from gripway.practice.ways.swells import swells
from gripway.practice.ways.way_conditions import is_detached, is_dotted

RHYTHM, TIES, PHRASE, ENTRY, SWELLS = "rhythm", "ties", "phrase", "entry", "swells"

BEATS = (TIES, RHYTHM)
"""Where the beat is hard to keep: of these a day has one, ties first."""

MUSICAL = (SWELLS, PHRASE, ENTRY)
"""What is music as it stands: of these a day has one, two on other bars where it has time."""

TONGUES = ("single", "double", "triple")

LAST_DAYS = 3
"""The last days are for the line: so many of them, and not the first two of a plan (judgement)."""

TONGUE_LEFT = 2
"""With so many days left what is tongued gets to its tempo (judgement)."""


@dataclass(frozen=True, slots=True)
class Questions:
    """The ways the music asks for, rhythm before all others, and the places they are for.

    `dotted`: its rhythm is dotted. `long_lines` are those without a rest for a breath, `lines` those that
    sing or where breath is short, `entrances` those after counted rests (first and last notes),
    `entering` the notes that enter: what is exposed comes first. `swells` are bars that grow or fade.
    """

    ways: tuple[str, ...] = ()
    dotted: bool = False
    long_lines: tuple[LongLine, ...] = ()
    lines: tuple[tuple[int, int], ...] = ()
    entrances: tuple[tuple[int, int], ...] = ()
    entering: tuple[int, ...] = ()
    swells: tuple[tuple[int, int], ...] = ()


NO_QUESTIONS = Questions()
"""Nothing besides quick fingers."""


def questions_of(notes: Sequence[Note], figures: PracticeFigures, *, begins: bool = False) -> Questions:
    """What the music asks for; `begins`: empty bars stand before its first note."""
    long = long_lines(notes, figures)
    found = Questions(
        (),
        is_dotted(notes, figures),
        long,
        _lines(singing_lines(notes, figures), long),
        entrances(notes, figures, begins=begins),
        tuple(entering(notes, begins=begins)),
        swells(notes, figures),
    )
    return replace(found, ways=tuple(_found(notes, found, figures)))


def _lines(singing: Sequence[tuple[int, int]], long: Sequence[LongLine]) -> tuple[tuple[int, int], ...]:
    """The lines that sing, then those in which breath is short, the longest first, none twice."""
    found = [*singing]
    for line in sorted(long, key=lambda each: -each.lasts_s):
        if all(line.ends[1] < begin or end < line.ends[0] for begin, end in found):
            found.append(line.ends)
    return tuple(found)


def is_asked(way: str, day: int, left: int, used: int, *, daily: bool, tongued: float = 1.0) -> bool:
    """Whether a way the music asks for is due on a day; `left` are the days with it, `used` when it was last.

    Rhythm comes every second day, or `daily`, the tongue every second day and on the last but one where what
    is `tongued` has not been at its tempo, line and entrances in the last
    days.
    """
    if way in BEATS:
        return (left > 1 or day == 1) and (used < day - 1 or not used or daily)
    if way in TONGUES:
        return used < day - 1 or not used or (left == TONGUE_LEFT and tongued < 1)
    if way == SWELLS:
        return not used or (used < day - 1 and left <= LAST_DAYS)
    return day >= LAST_DAYS and left <= LAST_DAYS and used < day - 1


def _found(notes: Sequence[Note], questions: Questions, figures: PracticeFigures) -> Iterator[str]:
    if share_tied(notes, figures) >= figures.study_against_share:
        yield TIES
    if questions.dotted or share_against(notes, figures) >= figures.study_against_share:
        yield RHYTHM
    if is_detached(notes, figures):
        yield from TONGUES
    if questions.swells:
        yield SWELLS
    if questions.lines:
        yield PHRASE
    if questions.entrances:
        yield ENTRY
