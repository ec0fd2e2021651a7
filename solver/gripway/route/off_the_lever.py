"""Where the thumb is kept off the B-flat lever: B flats right before a B natural, and lines without one.

The search counts the way as one of a lifted thumb, as over C; a player sets the lever or leaves it in a rest.
"""

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace

from gripway.candidates.candidates import Candidates
from gripway.effort.setting import B_FLATS, SPOILT
from gripway.model.grip import Grip
from gripway.model.passage import between_rests
from gripway.route.result import Route, RouteNote

LEVER = "Tb"


def settled_b_flats(
    route: Route, fingered: Callable[[int], Grip | None], span: int
) -> tuple[tuple[int, Grip], ...]:
    """The B flats (by index) that have the lever and are fingered instead, with that grip.

    Those of a line without a rest whose last one is followed by a note that the lever spoils within `span`
    notes. `fingered` gives the grip of a pitch without the lever.
    """
    found: dict[int, Grip] = {}
    for places in between_rests(route.passage.notes):
        line = route.notes[places.start : places.stop]
        last = next(
            (place for place, note in reversed([*enumerate(line)]) if _is_near(line, place, span)), -1
        )
        for note in line[: last + 1]:
            if _on_lever(note) and (grip := fingered(note.note.pitch.number)):
                found[note.index] = grip
    return tuple(found.items())


def with_plain_thumb(route: Route, book: Candidates, pinned: Collection[int]) -> Route:
    """The route with the thumb on its key in lines without a rest where nothing needs the lever.

    For the search both are as good there. Lines in which a note needs it or is pinned stay.
    """
    notes = list(route.notes)
    for places in between_rests(route.passage.notes):
        line = notes[places.start : places.stop]
        if not any(note.index in pinned or _needs_lever(note) for note in line):
            notes[places.start : places.stop] = [_plain(note, book) for note in line]
    return replace(route, notes=tuple(notes))


def _needs_lever(note: RouteNote) -> bool:
    """Whether a note has the lever in its grip of the tables, or an ornament with the lever under it."""
    if note.candidate is None:
        return False
    return (note.candidate.grip if note.note.ornament else note.candidate.row_grip).has(LEVER)


def _plain(note: RouteNote, book: Candidates) -> RouteNote:
    """A note with its thumb on the key where it only rests on the lever, and all else as it is."""
    own = note.candidate
    if own is None or not own.grip.has(LEVER):
        return note
    kept = book.pinned(own.pitch, own.grip.without(LEVER).with_touches("T"))
    alike = (
        each
        for each in kept
        if each.row_grip == own.row_grip and each.position.right_code == own.position.right_code
    )
    return replace(note, candidate=next(alike, own))


def _is_near(line: Sequence[RouteNote], place: int, span: int) -> bool:
    """Whether a note of a line is a B flat with the lever just before a note that this spoils."""
    after = (note.note.pitch.number in SPOILT for note in line[place + 1 : place + 1 + span])
    return _on_lever(line[place]) and any(after)


def _on_lever(note: RouteNote) -> bool:
    """Whether a note is a plain B flat with the lever."""
    is_plain = note.note.pitch.number in B_FLATS and note.note.ornament is None
    return is_plain and note.candidate is not None and note.candidate.grip.has(LEVER)
