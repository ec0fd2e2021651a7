"""Columns for a passage: which candidates each note may choose from, after every hard limit."""

from dataclasses import dataclass

from gripway.asked.wishes import STANDARD_ONLY, Wishes
from gripway.candidates.candidates import Candidates
from gripway.candidates.familiarity_case import B_FLATS
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.passage import Note
from gripway.trellis.trellis import Column


@dataclass(frozen=True, slots=True)
class NoteColumn:
    """The candidates of one note, or the reason why it has none."""

    candidates: Column
    problem: str = ""


def note_columns(notes: tuple[Note, ...], book: Candidates, wishes: Wishes) -> tuple[NoteColumn, ...]:
    """The column of every note. Raises RequestError for a pin on no note or of no known grip."""
    pinned = _pins(notes, wishes)
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
            result.append(NoteColumn(_pinned(book, note, pinned[place], candidates)))
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


def _where(note: Note) -> str:
    return f"bar {note.bar}, note {note.id}" if note.bar else f"note {note.id}"


def asked_places(notes: tuple[Note, ...], wishes: Wishes) -> frozenset[int]:
    """The notes whose grip is asked for or settled. Raises RequestError for a pin on no note."""
    return frozenset(_pins(notes, wishes)) | {place for place, _ in wishes.settled}


def _pins(notes: tuple[Note, ...], wishes: Wishes) -> dict[int, Grip]:
    """Pinned grips by note index; a pin by id holds each time the note is played."""
    pinned: dict[int, Grip] = {}
    for pin in wishes.pins:
        if isinstance(pin.note, int):
            places = [pin.note] if 0 <= pin.note < len(notes) else []
        else:
            places = [place for place, note in enumerate(notes) if note.id == pin.note]
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
            if pinned.setdefault(place, pin.grip) != pin.grip:
                bar = notes[place].bar
                raise RequestError(
                    f"two pins contradict: {pinned[place]} and {pin.grip}",
                    place=f"note {place + 1} ({f'bar {bar}, ' if bar else ''}id {notes[place].id})",
                    next_step="Keep one of them",
                )
    return pinned
