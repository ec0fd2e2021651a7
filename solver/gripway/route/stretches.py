"""The stretches of notes with grips between gaps, each as a trellis that can be played through."""

from collections.abc import Iterator
from dataclasses import replace

from gripway.candidates.note_columns import NoteColumn
from gripway.effort.setting import Link, Setting
from gripway.route.words.reasons import why_gap
from gripway.trellis.path import INF, first_blocked, forward
from gripway.trellis.trellis import Column, Trellis, TrellisBuilder


def stretch_trellises(
    columns: list[NoteColumn],
    builder: TrellisBuilder,
    about: tuple[Setting, ...],
    between: list[Link],
) -> Iterator[Trellis]:
    """The trellis of every stretch between gaps; a change that cannot be made becomes a gap as well.

    A repeated note that cannot keep its grip may change it: its link in `between` says so then.
    """
    for start, stretch in _stretches(columns):
        at = start
        while stretch:
            trellis = builder.segment(at, stretch, about, between)
            blocked = _blocked(trellis)
            if blocked and trellis.columns[blocked] and between[at + blocked].kept:
                between[at + blocked] = replace(between[at + blocked], kept=False)
                continue
            if blocked is not None:
                columns[at + blocked] = NoteColumn((), why_gap(trellis, blocked, between))
                trellis = _cut(trellis, blocked)
            if trellis.columns:
                yield trellis
            if blocked is None:
                break
            at, stretch = at + blocked + 1, stretch[blocked + 1 :]


def _stretches(columns: list[NoteColumn]) -> Iterator[tuple[int, list[Column]]]:
    """Start and columns of every run of notes that have candidates."""
    run: list[Column] = []
    for place, column in enumerate([*columns, NoteColumn(())]):
        if column.candidates:
            run.append(column.candidates)
        elif run:
            yield place - len(run), run
            run = []


def _blocked(trellis: Trellis) -> int | None:
    """The first column no path reaches; nothing is added up where every grip follows some grip before it."""
    blocks = {id(block): block for block in trellis.blocks}.values()
    if all(trellis.nodes) and all(min(row) < INF for block in blocks for row in block):
        return None
    return first_blocked(forward(trellis.nodes, trellis.blocks))


def _cut(trellis: Trellis, end: int) -> Trellis:
    """The part of a trellis before column `end`."""
    return Trellis(trellis.start, trellis.columns[:end], trellis.nodes[:end], trellis.blocks[:end])
