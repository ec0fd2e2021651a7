"""What a passage asks besides quick fingers, and which ways of working answer it: rhythm, tongue, line."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.plan.course import RHYTHM, SWELLS
from gripway.practice.ways.breathing import LongLine, long_lines
from gripway.practice.ways.entrances import entering, entrances, is_cold
from gripway.practice.ways.fitting_bars import (
    CONTRASTS,
    DOUBLE,
    REPEATED,
    STACCATO,
    TONGUES,
    marks_of,
    share_repeated,
    share_staccato,
    share_tied,
    tongues_of,
    without_marks,
)
from gripway.practice.ways.lines import singing_lines
from gripway.practice.ways.swells import swells
from gripway.practice.ways.uneven import is_dense, share_against
from gripway.practice.ways.way_conditions import is_detached, is_dotted

TIES, PHRASE, ENTRY, SLURS = "ties", "phrase", "entry", "slurs"

BEATS = (TIES, RHYTHM)
"""Where the beat is hard to keep: of these a day has one, ties first."""

MUSICAL = (SWELLS, PHRASE, ENTRY)
"""What is music as it stands: of these a day has one, two on other bars where it has time."""

LAST_DAYS = 3
"""The last days are for the line: so many of them, and not the first two of a plan (judgement)."""

TONGUE_LEFT = 2
"""With so many days left what is tongued gets to its tempo (judgement)."""


@dataclass(frozen=True, slots=True)
class Questions:
    """The ways the music asks for, rhythm before all others, and the places they are for.

    `tongues` are the ways its fastest tongued notes take, the same on all days. `long_lines` are those
    without a rest for a breath, `lines` those and what sings, `entrances` those after counted rests (first
    and last notes), `entering` the notes that enter: what is exposed comes first. `swells` are bars that grow
    or fade.
    """

    ways: tuple[str, ...] = ()
    tongues: tuple[str, ...] = ()
    long_lines: tuple[LongLine, ...] = ()
    lines: tuple[tuple[int, int], ...] = ()
    entrances: tuple[tuple[int, int], ...] = ()
    entering: tuple[int, ...] = ()
    swells: tuple[tuple[int, int], ...] = ()


NO_QUESTIONS = Questions()
"""Nothing besides quick fingers."""


def questions_of(notes: Sequence[Note], figures: PracticeFigures, before_bars: int | None = 0) -> Questions:
    """What the music asks for; so many empty bars stand before its first note, None: something else does."""
    long = long_lines(notes, figures)
    found = Questions(
        (),
        tongues_of(notes, figures),
        long,
        singing_lines(notes, [line.ends for line in long], figures),
        entrances(notes, figures, before_bars),
        tuple(entering(notes, before_bars)),
        swells(notes, figures),
    )
    return replace(found, ways=tuple(_found(notes, found, figures)))


def is_asked(way: str, day: int, left: int, used: int, *, tongued: float = 1.0) -> bool:
    """Whether a way the music asks for is due on a day; `left` are the days with it, `used` when it was last.

    Rhythm comes every second day, as do repeated notes and slurs that are to be chosen; the tongue every
    second day and on the last two where what is `tongued` has not been at its tempo; sudden changes of
    dynamic once before the last day; line and entrances in the last days.
    """
    if way in BEATS:
        return (left > 1 or day == 1) and (used < day - 1 or not used)
    if way in TONGUES:
        return used < day - 1 or not used or (left <= TONGUE_LEFT and tongued < 1)
    if way in (REPEATED, STACCATO, SLURS):
        return used < day - 1 or not used
    if way == CONTRASTS:
        return not used and left > 1
    if way == SWELLS:
        return not used or (used < day - 1 and left <= LAST_DAYS)
    late = day >= min(LAST_DAYS, day + left - LAST_DAYS + 1)
    return late and left <= LAST_DAYS and used < day - 1


def _found(notes: Sequence[Note], questions: Questions, figures: PracticeFigures) -> Iterator[str]:
    if share_tied(notes, figures) >= figures.study_against_share:
        yield TIES
    against = share_against(notes, figures) >= figures.study_against_share
    if is_dotted(notes, figures) or against or is_dense(notes, figures):
        yield RHYTHM
    if without_marks(notes):
        yield SLURS
    if is_detached(notes, figures) or {*questions.tongues} == {*DOUBLE}:
        yield from questions.tongues
    if share_repeated(notes, figures) >= figures.study_against_share:
        yield REPEATED
    elif share_staccato(notes, figures) >= figures.study_tongued_share:
        yield STACCATO
    if questions.swells:
        yield SWELLS
    if any(marks_of(CONTRASTS, notes, figures)):
        yield CONTRASTS
    cold = any(is_cold(notes, place) for place, _ in questions.entrances[:1])
    if cold:
        yield ENTRY
    if questions.lines:
        yield PHRASE
    if questions.entrances and not cold:
        yield ENTRY
