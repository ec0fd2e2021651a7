"""Marks for a score: which notes get one, and what it says."""

from collections.abc import Iterator

from gripway.errors import RequestError
from gripway.route.result import Route, RouteNote
from gripway.route.source_pins import source_grips
from gripway.score.marking import Mark, mark_score
from gripway.score.reading import ScoreReading

NEEDED, FIRST, EVERY = "needed", "first", "every"
WHICH = (NEEDED, FIRST, EVERY)


def marked_score(
    reading: ScoreReading,
    route: Route,
    *,
    which: str = NEEDED,
    style: str = "fingering",
    bracket: bool = False,
) -> bytes:
    """The score's own bytes with marks inserted (an .mxl file comes back as one).

    `which` is needed (grips that are not the plain ones), first (a pitch's grip where it
    differs from the last one marked for that pitch) or every. Notes with a fingering of
    their own in the source are left alone.
    """
    if which not in WHICH:
        raise RequestError(f"{which!r} is no choice of marks", next_step=f"Choose one of {', '.join(WHICH)}")
    marks = [
        Mark(note.note.id, note.candidate.grip.short, style=style, bracket=bracket)
        for note in notes_to_mark(route, which)
        if note.candidate is not None
    ]
    return mark_score(reading.source, reading.places, marks)


def notes_to_mark(route: Route, which: str) -> Iterator[RouteNote]:
    """The notes to mark, each written note once (a repeat keeps the mark of its first time)."""
    seen: set[str] = set()
    last: dict[int, str] = {}
    for note in route.notes:
        if note.candidate is None or note.note.id in seen:
            continue
        seen.add(note.note.id)
        if note.note.fingering:
            for grip in source_grips(note.note):
                last[note.note.pitch.number] = grip.text
        elif _wants(note, which, last):
            yield note


def _wants(note: RouteNote, which: str, last: dict[int, str]) -> bool:
    """Whether a note gets a mark; `last` is the grip each pitch had last, by mark or by being plain."""
    candidate = note.candidate
    if candidate is None:
        return False
    before = last.get(note.note.pitch.number)
    last[note.note.pitch.number] = candidate.grip.text
    if which == FIRST:
        return candidate.grip.text != before if before is not None else not is_plain(note)
    return which == EVERY or not is_plain(note)


def is_plain(note: RouteNote) -> bool:
    """Whether a note has the grip a player expects: the standard one, thumb on either plate."""
    candidate = note.candidate
    return candidate is not None and candidate.kind == "standard" and candidate.held == 0


def played_differently(route: Route) -> tuple[RouteNote, ...]:
    """Notes that a repeat plays with another grip than the first time: one mark cannot say both.

    Each written note comes once; notes with a fingering of their own get no mark and are left out.
    """
    first: dict[str, str] = {}
    differing: dict[str, RouteNote] = {}
    for note in route.notes:
        grip = note.candidate.grip.text if note.candidate else ""
        if first.setdefault(note.note.id, grip) != grip and not note.note.fingering:
            differing.setdefault(note.note.id, note)
    return tuple(differing.values())
