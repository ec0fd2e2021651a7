"""The same figure of grace notes with the same grips all through a passage.

The search judges each grace note with the room it has, so that one figure can come out with a trill key
where it follows a short note and with the standard grip elsewhere: too much to learn for one place.
"""

from collections import Counter
from collections.abc import Iterator, Sequence

from gripway.model.grip import Grip
from gripway.model.passage import grace_groups
from gripway.route.result import Route


def settled_graces(route: Route) -> tuple[tuple[int, Grip], ...]:
    """The notes (by index) whose grip is another than in most places of their figure, with that of most.

    A figure is the pitches of the grace notes and of the note they lead to; of grips that as many places have
    the one that is standard counts.
    """
    notes = route.passage.notes
    figures: dict[tuple[int, ...], list[range]] = {}
    for places in grace_groups(notes):
        figures.setdefault(tuple(notes[at].pitch.number for at in places), []).append(places)
    return tuple(
        settled
        for found in figures.values()
        for alike in zip(*found, strict=True)
        for settled in _settled(route, alike)
    )


def _settled(route: Route, alike: Sequence[int]) -> Iterator[tuple[int, Grip]]:
    """Of notes in one place of a figure those with another grip than most, with that of most."""
    had = [(at, route.notes[at].candidate) for at in alike]
    grips = Counter(candidate.row_grip for _, candidate in had if candidate)
    if len(grips) < 2:
        return
    standard = {candidate.row_grip for _, candidate in had if candidate and candidate.case == "standard"}
    most = max(grips, key=lambda grip: (grips[grip], grip in standard, grip.short))
    yield from ((at, most) for at, candidate in had if candidate and candidate.row_grip != most)
