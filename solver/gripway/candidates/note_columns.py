"""Columns for a passage: which candidates each note may choose from, after every hard limit."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gripway.asked.wishes import STANDARD_ONLY, Pin, Wishes
from gripway.candidates.candidates import Candidates
from gripway.candidates.familiarity_case import B_FLATS
from gripway.effort.setting import trilled_with
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.mark_text import PLAIN_HAND
from gripway.model.passage import Note
from gripway.model.pitch import plain_name
from gripway.trellis.trellis import Column


@dataclass(frozen=True, slots=True)
class NoteColumn:
    """The candidates of one note, or the reason why it has none."""

    candidates: Column
    problem: str = ""


def note_columns(notes: tuple[Note, ...], book: Candidates, wishes: Wishes) -> tuple[NoteColumn, ...]:
    """The column of every note. Raises RequestError for a pin on no note or of no known grip."""
    pinned = pins_by_place(notes, wishes)
    thumb = _thumb_may_rest(notes, book)
    settled = dict(wishes.settled)
    result = []
    for place, note in enumerate(notes):
        pitch = note.pitch.number
        candidates = book.column(
            pitch, thumb, _near_b_flat(notes, place), book.free_beside(pitch, _beside(notes, place))
        )
        if note.problem:
            result.append(NoteColumn((), note.problem))
        elif not candidates:
            result.append(NoteColumn((), book.why_none(pitch)))
        elif place in pinned:
            result.append(NoteColumn(_pinned(book, note, pinned[place].grip, candidates)))
        elif place in settled:
            result.append(NoteColumn(book.narrowed(candidates, settled[place])))
        elif wishes.choose == STANDARD_ONLY:
            result.append(NoteColumn(book.narrowed(candidates, None)))
        else:
            result.append(NoteColumn(candidates))
    return tuple(result)


def _thumb_may_rest(notes: tuple[Note, ...], book: Candidates) -> bool:
    """Whether any grip of the passage presses Tb, so that its place over other notes matters."""
    return any(
        row.grip.has("Tb") for pitch in {note.pitch.number for note in notes} for row in book.usable(pitch)
    )


def _beside(notes: tuple[Note, ...], place: int) -> frozenset[int]:
    """The pitches before and after a note."""
    near = (notes[other] for other in (place - 1, place + 1) if 0 <= other < len(notes))
    return frozenset(note.pitch.number for note in near)


def _near_b_flat(notes: tuple[Note, ...], place: int) -> bool:
    """Whether this note is, or lies beside, a note the side lever plays."""
    return any(note.pitch.number in B_FLATS for note in notes[max(0, place - 1) : place + 2])


def _pinned(book: Candidates, note: Note, grip: Grip, usual: Column) -> Column:
    """The candidates of a pinned note: those it has anyway, else the grip in every hand position."""
    kept = book.pinned(note.pitch.number, grip, usual)
    if kept:
        return kept
    known = sorted({c.grip.text for c in book.column(note.pitch.number, False, False)})
    raise RequestError(
        f"the pin {grip} is no grip of {note.pitch.name} on this flute",
        place=_where(note),
        next_step=f"Its grips are: {'; '.join(known)}",
    )


def with_asked_trills(notes: tuple[Note, ...], book: Candidates, wishes: Wishes) -> tuple[Note, ...]:
    """The notes with the grips that pins ask for of the other notes of their trills.

    Raises RequestError where a note has no trill, or its other note no such grip.
    """
    asked = {place: pin for place, pin in pins_by_place(notes, wishes).items() if pin.moving.mask}
    if not asked and not wishes.settled_trills:
        return notes
    found = list(notes)
    for place, grip in wishes.settled_trills:
        found[place] = _trilled_to(notes[place], grip)
    for place, pin in asked.items():
        note = notes[place]
        grip = trilled(pin.grip, pin.moving)
        if why := why_no_trill(notes, place, grip, book):
            raise RequestError(
                f"the pin {pin.grip.short} cannot be trilled so: {why}",
                place=_where(note),
                next_step="Pin the grip alone: what moves is then found",
            )
        found[place] = _trilled_to(note, grip)
    return tuple(found)


def _trilled_to(note: Note, grip: Grip) -> Note:
    if note.ornament is None:
        return note
    return replace(note, ornament=replace(note.ornament, other_grip=grip))


def trilled(grip: Grip, moving: Grip) -> Grip:
    """The grip that a trill goes to from one when these touches move."""
    return Grip(grip.mask ^ moving.mask)


def why_no_trill(notes: Sequence[Note], place: int, other: Grip, book: Candidates) -> str:
    """Why the other note of a trill cannot have this grip, empty where it can."""
    note, pitch = notes[place], trilled_with(notes, place)
    if pitch is None:
        return f"{note.pitch.name} has no trill"
    if book.pinned(pitch, other):
        return ""
    return f"{other.short} is no grip of {plain_name(pitch)}, its other note, on this flute"


def _where(note: Note) -> str:
    return f"bar {note.bar}, note {note.id}" if note.bar else f"note {note.id}"


def asked_places(notes: tuple[Note, ...], wishes: Wishes) -> frozenset[int]:
    """The notes whose grip is asked for or settled. Raises RequestError for a pin on no note."""
    return frozenset(pins_by_place(notes, wishes)) | {place for place, _ in wishes.settled}


def pins_by_place(notes: tuple[Note, ...], wishes: Wishes) -> dict[int, Pin]:
    """Pins by note index; a pin by id holds each time the note is played. Raises RequestError for none."""
    pinned: dict[int, Pin] = {}
    places_of: dict[str | None, list[int]] = {}
    for place, note in enumerate(notes if wishes.pins else ()):
        places_of.setdefault(note.id, []).append(place)
    for pin in wishes.pins:
        if isinstance(pin.note, int):
            places = [pin.note] if 0 <= pin.note < len(notes) else []
        else:
            places = places_of.get(pin.note, [])
        if not places:
            name = (
                pin.note + 1 if isinstance(pin.note, int) and pin.note >= 0 else pin.note
            )  # from 1, as written
            raise RequestError(
                f"there is no note {name!r} to pin",
                place=f"pin {name}={pin.grip}",
                next_step="Write the note's id, as in the `id` column (n3=...), or its number counted from 1",
            )
        for place in places:
            other = pinned.setdefault(place, pin)
            if (other.grip, other.moving) != (pin.grip, pin.moving):
                bar = notes[place].bar
                raise RequestError(
                    f"two pins contradict: {_words(other)} and {_words(pin)}",
                    place=f"note {place + 1} ({f'bar {bar}, ' if bar else ''}id {notes[place].id})",
                    next_step="Keep one of them",
                )
    return pinned


def _words(pin: Pin) -> str:
    return PLAIN_HAND.whole(pin.grip, pin.moving) if pin.moving.mask else pin.grip.text
