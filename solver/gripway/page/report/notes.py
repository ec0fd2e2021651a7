"""What the card of every written note says: its times through, cents, and the change into it."""

from collections.abc import Sequence

from gripway.candidates.cents import cents_words
from gripway.effort.candidate import Candidate
from gripway.page.report.changes import fingers_words, why_hard
from gripway.route.result import Route, RouteChange, RouteNote
from gripway.route.words.place_words import change_name


def by_written(route: Route) -> dict[str, list[RouteNote]]:
    """The notes of a route by the written note they play: several where a repeat plays it again."""
    found: dict[str, list[RouteNote]] = {}
    for note in route.notes:
        found.setdefault(note.note.id, []).append(note)
    return found


def note_names(route: Route) -> dict[str, str]:
    """What a screen reader says of each written note: `Bar 3, F#6: T 1 | Eb, harmonic`."""
    return {name: _name(times[0]) for name, times in by_written(route).items()}


def _name(note: RouteNote) -> str:
    bar = f"Bar {note.note.bar}, " if note.note.bar else ""
    candidate = note.candidate
    grip = f"{candidate.grip.short}, {candidate.kind}" if candidate else "no grip"
    return f"{bar}{note.note.pitch.name}: {grip}"


def different(times: Sequence[RouteNote]) -> list[tuple[str, RouteNote]]:
    """The times through that differ in grip or reason, each with its numbers in words."""
    groups: dict[tuple[object, ...], list[RouteNote]] = {}
    for note in times:
        grip = note.candidate.grip if note.candidate else None
        groups.setdefault((grip, note.why, note.flags), []).append(note)
    if len(times) == 1:
        return [("", times[0])]
    return [
        ("Time through: " + ", ".join(str(note.note.time_through) for note in same), same[0])
        for same in groups.values()
    ]


def known_cents_words(candidate: Candidate) -> str:
    """`+15 ±13, taught sharp, size by gripway`, or that nothing is known."""
    tendency = candidate.tendency
    if tendency.cents is None:
        return "not known"
    return f"{cents_words(tendency)}, {tendency.known}"


def change_words(route: Route, change: RouteChange) -> str:
    """A change into a note in one line: its fingers, times, load and what makes it hard."""
    lead = f"; lead with {change.advice.lead}" if change.advice.lead else ""
    parts = why_hard(change)
    return (
        f"{change_name(route, change.to)}, {fingers_words(change)}; needs {change.needed_ms:.0f} ms, "
        f"has {change.available_ms:.0f} ms, load {change.load:.2f}{lead}{f' ({parts})' if parts else ''}"
    )
