"""Which fingers moved only a note ago: they have least time to turn round.

A route is searched change by change, and a change does not know which one came before it. So the
fingers that are *fresh* at a change are those that the plain grips move into the note before it. The
approximation is exact wherever a route keeps its plain grips at three notes in a row; its error on
real parts is what `python -m tests.route.fresh_error` prints.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from gripway.effort.change import ChangeTimes
from gripway.effort.setting import Link
from gripway.model.passage import Note
from gripway.route.candidates import Candidates


def with_fresh(
    between: tuple[Link, ...], notes: Sequence[Note], book: Candidates, times: ChangeTimes
) -> tuple[Link, ...]:
    """The links of a passage with the fingers that are fresh at each of them."""
    rows = [book.standard_row(note.pitch.number) for note in notes]
    plain = [book.plain(row).position if row else None for row in rows]
    moved = [0]
    for before, after in pairwise(plain):
        hands = times.hands(before, after) if before and after else ()
        moved.append(sum(hand.mask for hand in hands))
    return tuple(
        replace(link, fresh=mask) if mask else link
        for link, mask in zip(between, [0, *moved[:-1]], strict=True)
    )
