"""What stands under a note of the report: a diagram, a sign for its tuning, a sign of more to read."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from gripway.model.house_style import NEEDED, HouseStyle
from gripway.page.engraved import Space
from gripway.page.marks import marked_notes
from gripway.route.result import Route, RouteNote

DIAGRAM_MM = 9.0
DIAGRAM_ROOM_MM, LINE_ROOM_MM = 12.0, 4.0
"""Height kept for a diagram with a line below it, and for a line alone."""

ROOM_WIDTH_MM = 5.6
"""Width kept under a note with a sign: a diagram and a little air."""

_LEAN = re.compile(r"(sharp|flat) by about (\d+)")


@dataclass(frozen=True, slots=True)
class Sign:
    """What is shown under one written note: its grip as a diagram or not, the lean in cents, a warning.

    `note` is the note of the route, at its first time through.
    """

    note: RouteNote
    diagram: bool
    lean: int | None
    warning: bool

    @property
    def line(self) -> bool:
        """Whether there is a line of signs."""
        return self.lean is not None or self.warning or self.note.candidate is None


def lean_of(flags: Iterable[str]) -> int | None:
    """The lean in cents that a flag of a note tells, positive for sharp; None where none does.

    >>> lean_of(("flat by about 20 ±12 cents (taught flat, size by gripway): lip it",))
    -20
    """
    for flag in flags:
        if found := _LEAN.match(flag):
            return int(found[2]) * (1 if found[1] == "sharp" else -1)
    return None


def signs(route: Route, which: str = NEEDED) -> dict[str, Sign]:
    """The signs by note id: grips that `which` marks, notes with flags, notes without a grip."""
    marked = {each.note.note.id for each in marked_notes(route, HouseStyle(which=which))}
    found: dict[str, Sign] = {}
    for note in route.notes:
        name = note.note.id
        if name in found or not (name in marked or note.flags or note.candidate is None):
            continue
        lean = lean_of(note.flags)
        warning = any(not _LEAN.match(flag) for flag in note.flags)
        found[name] = Sign(note, name in marked, lean, warning)
    return found


def space_for(found: dict[str, Sign]) -> Space:
    """The room the engraver must keep for signs."""
    heights = {name: DIAGRAM_ROOM_MM if sign.diagram else LINE_ROOM_MM for name, sign in found.items()}
    return Space(heights, width_mm=ROOM_WIDTH_MM)
