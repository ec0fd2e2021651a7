"""What the tables of the report say of notes that lean, and where they stand."""

from collections.abc import Sequence

from gripway.page.report.changes import place_name
from gripway.page.report.note_signs import lean_flag, lean_of
from gripway.route.result import Route, RouteNote


def leaning(route: Route) -> list[list[RouteNote]]:
    """The notes that lean, those of one pitch, grip and flag together, furthest first."""
    groups: dict[tuple[str, str, str], list[RouteNote]] = {}
    for note in route.notes:
        flag = lean_flag(note)
        if note.candidate is not None and flag is not None:
            key = (note.note.pitch.name, note.candidate.grip.text, flag.words)
            groups.setdefault(key, []).append(note)
    widest = sorted(groups.items(), key=lambda item: (-abs(lean_of(item[1][0]) or 0), item[0]))
    return [notes for _, notes in widest]


def first_places(route: Route, notes: Sequence[RouteNote]) -> list[tuple[str, str]]:
    """The places of notes with the id of the first note there, each bar once."""
    firsts: dict[str, str] = {}
    for note in notes:
        firsts.setdefault(place_name(route, note.index), note.note.id)
    return list(firsts.items())
