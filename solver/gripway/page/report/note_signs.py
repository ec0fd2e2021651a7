"""What stands under a note of the report: a diagram, a sign for its tuning, a sign of more to read."""

from collections.abc import Mapping
from dataclasses import dataclass

from gripway.edition.hold_marks import thumb_places
from gripway.edition.marks import marked_notes
from gripway.model.house_style import NEEDED, HouseStyle
from gripway.model.mark_text import SIMILE
from gripway.page.engraving.drawing_parts import Space
from gripway.route.result import Route, RouteNote
from gripway.route.words.flags import LEAN, Flag

REPORT_DIAGRAM_MM = 9.0
DIAGRAM_ROOM_MM, LINE_ROOM_MM = 12.0, 4.0
"""Height kept for a diagram with a line below it, and for a line alone."""

ROOM_WIDTH_MM = 5.6
"""Width kept under a note with a sign: a diagram and a little air."""


@dataclass(frozen=True, slots=True)
class ReportSign:
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


def lean_of(note: RouteNote) -> int | None:
    """The lean in cents that there is something to do about, positive for sharp; None where there is none."""
    flag = lean_flag(note)
    return None if flag is None else round(flag.cents or 0.0)


def lean_flag(note: RouteNote) -> Flag | None:
    """The flag of a note that tells its lean."""
    return next((flag for flag in note.told if flag.kind == LEAN), None)


def signs(route: Route, which: str = NEEDED, marked: frozenset[str] | None = None) -> dict[str, ReportSign]:
    """The signs by note id: grips that `which` marks, notes with flags, notes without a grip.

    `marked` are the notes that an edition marks. Without it a report shows what the route has, however
    little it saves, and however much there is; also where the thumb goes to the B-flat lever and back.
    """
    if marked is None:
        house = HouseStyle(which=which, at_most=100.0, least_gain=0.0 if which == NEEDED else None)
        marked = frozenset(
            each.note.note.id
            for each in marked_notes(route, house)
            if any(sign.kind != SIMILE for sign in each.signs)
        )
        marked |= {note.note.id for note, _ in thumb_places(route.notes)}
    found: dict[str, ReportSign] = {}
    for note in route.notes:
        name = note.note.id
        if name in found or not (name in marked or note.flags or note.candidate is None):
            continue
        lean = lean_flag(note)
        warning = any(lean is None or words != lean.words for words in note.flags)
        found[name] = ReportSign(note, name in marked, lean_of(note), warning)
    return found


def space_for(found: Mapping[str, ReportSign]) -> Space:
    """The room the engraver must keep for signs."""
    heights = {name: DIAGRAM_ROOM_MM if sign.diagram else LINE_ROOM_MM for name, sign in found.items()}
    return Space(heights, width_mm=ROOM_WIDTH_MM)
