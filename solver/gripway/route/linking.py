"""The links of a passage with what single changes do not show: fresh fingers, and repeated notes.

A route is searched change by change, and a change does not know which one came before it. So the fingers
that are *fresh* at a change are those that the plain grips move into the note before it. The
approximation is exact wherever a route keeps its plain grips at three notes in a row; its error on
real parts is what `python -m tests.route.fresh_error` prints.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from gripway.candidates.candidates import Candidates
from gripway.catalog.flute.grips import allowed
from gripway.catalog.tables.effort_figures import Figures
from gripway.effort.change_time import ChangeTimes
from gripway.effort.setting import Link, links
from gripway.model.passage import Note, rest_between

Carried = tuple[int, bool]
"""What a link has of the notes before it: the fresh fingers (a bit each), and whether the grip stays."""


def passage_links(
    notes: tuple[Note, ...],
    book: Candidates,
    times: ChangeTimes,
    figures: Figures,
    asked_for: frozenset[int],
) -> tuple[Link, ...]:
    """The link into every note; `asked_for` are notes whose grip somebody asked for.

    A repeated note keeps its grip, unless somebody asked for a grip of one of the two.
    """
    return with_carried(links(notes, figures), carried_over(notes, book, times, asked_for))


def relevant_places(notes: Sequence[Note], asked_for: frozenset[int]) -> frozenset[int]:
    """Of the notes whose grip somebody asked for those that change a link: one of two with the same pitch."""
    pitch = [note.pitch.number for note in notes]
    return frozenset(p for p in asked_for if pitch[p] in (*pitch[max(0, p - 1) : p], *pitch[p + 1 : p + 2]))


def carried_over(
    notes: tuple[Note, ...], book: Candidates, times: ChangeTimes, asked_for: frozenset[int]
) -> tuple[Carried, ...]:
    """What the link into every note has of the notes before it; no tempo changes that."""
    found = []
    for place, fresh in enumerate(_fresh_fingers(notes, book, times)):
        found.append((fresh, _keeps_grip(notes, place, asked_for)))
    return tuple(found)


def _keeps_grip(notes: Sequence[Note], place: int, asked_for: frozenset[int]) -> bool:
    repeats = place > 0 and notes[place - 1].pitch.number == notes[place].pitch.number
    return repeats and not {place - 1, place} & asked_for


def asked_anew(between: Sequence[Link], notes: Sequence[Note], asked_for: frozenset[int]) -> tuple[Link, ...]:
    """The links of the same notes where these have a grip that somebody asked for."""
    kept = (_keeps_grip(notes, place, asked_for) for place in range(len(notes)))
    return tuple(
        link if link.kept == keeps else replace(link, kept=keeps)
        for link, keeps in zip(between, kept, strict=True)
    )


def with_carried(between: Sequence[Link], carried: Sequence[Carried]) -> tuple[Link, ...]:
    """The links with what they have of the notes before them."""
    return tuple(
        replace(link, fresh=fresh, kept=kept) if fresh or kept else link
        for link, (fresh, kept) in zip(between, carried, strict=True)
    )


def _fresh_fingers(notes: Sequence[Note], book: Candidates, times: ChangeTimes) -> list[int]:
    """For every note the fingers (a bit each) that the plain grips move into the note before it.

    None where that comes after a rest: they have moved in it.
    """
    rows = [book.standard_row(note.pitch.number) for note in notes]
    flute = book.knowledge.instrument
    plain = [book.plain(row).position if row and allowed(row, flute) else None for row in rows]
    moved = [0]
    for (one, other), (before, after) in zip(pairwise(notes), pairwise(plain), strict=True):
        rested = rest_between(one, other) > 0
        hands = times.hands(before, after) if before and after and not rested else ()
        moved.append(sum(hand.mask for hand in hands))
    return [0, *moved[:-1]]
