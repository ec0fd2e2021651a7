"""Grips that a player uses wherever their note is marked: those may be known."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from gripway.candidates.grip_check import GripCheck
from gripway.catalog.tables.taste_figures import TasteFigures
from gripway.model.figures import Context, contexts
from gripway.model.grip import Grip
from gripway.taste.mark import MarkedPart


@dataclass(frozen=True, slots=True, order=True)
class KnownGrip:
    """A grip of a pitch (note number) that is always used, and how often it is marked."""

    pitch: int
    grip: Grip
    marks: int


def always_used(
    parts: Sequence[MarkedPart],
    checks: Sequence[GripCheck],
    figures: TasteFigures,
    only: Collection[tuple[int, int]] | None = None,
) -> tuple[KnownGrip, ...]:
    """The unusual grips that every mark of their pitch has.

    Notes of that pitch without a mark do not speak against it here: who knows a grip does not take it
    everywhere, and what comes out there is weighed with all other evidence (`taste.py`). `only` are the marks
    that count (number of the part, index of the note); None: all of them. A grip the player knows already is
    none. `checks` are those of the parts.
    """
    had: dict[int, list[tuple[frozenset[int], Context]]] = {}
    for number, part in enumerate(parts):
        about = contexts(part.passage.notes)
        for mark in part.marks:
            if only is None or (number, mark.index) in only:
                had.setdefault(mark.note.pitch.number, []).append((mark.rows, about[mark.index]))
    found = []
    for pitch, marks in sorted(had.items()):
        shared = frozenset.intersection(*(rows for rows, _ in marks))
        enough = len(marks) >= figures.known_least_marks
        if len(shared) != 1 or not enough or len({at for _, at in marks}) < figures.known_least_figures:
            continue
        (row,) = shared
        grip = Grip(row)
        candidates = [each for check in checks for each in check.candidates(pitch, grip)]
        new = bool(candidates) and all(not c.usual and c.case != "standard" for c in candidates)
        if new:
            found.append(KnownGrip(pitch, grip, len(marks)))
    return tuple(found)
