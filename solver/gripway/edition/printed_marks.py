"""What the fingerings already in a score say, and a thumb they leave on its lever."""

from collections.abc import Callable, Iterator, Sequence

from gripway.effort.setting import SPOILT
from gripway.model.mark_text import GRIP, THUMB, MarkSign, read_sign
from gripway.model.passage import Note

SignsOf = Callable[[Note], Sequence[MarkSign]]


def source_signs(note: Note) -> Iterator[MarkSign]:
    """The fingerings of a note in the source that are signs of ours; others are passed over."""
    for text in note.fingering:
        try:
            yield read_sign(text)
        except ValueError:
            continue


def unreadable(note: Note) -> tuple[str, ...]:
    """The fingerings of a note that are no sign: finger numbers, string names, words."""
    return tuple(text for text in note.fingering if not _readable(text))


def _readable(text: str) -> bool:
    try:
        read_sign(text)
    except ValueError:
        return False
    return True


def thumb_left_on(notes: Sequence[Note], signs_of: SignsOf) -> Iterator[tuple[Note, Note]]:
    """Every place where the thumb is put on Tb and still there at a note that Tb spoils.

    `notes` are in played order. Each pair is the note with the thumb sign, and the first B
    natural, F#6 or D#7 that comes before a release. A grip mark with T releases as well as the
    sign does.
    """
    put_on: Note | None = None
    for note in notes:
        for sign in signs_of(note):
            if sign.kind == THUMB:
                put_on = note if sign.grip.has("Tb") else None
            elif sign.kind == GRIP and sign.grip.has("T"):
                put_on = None
        if put_on is not None and note.pitch.number in SPOILT and not _off(signs_of(note)):
            yield put_on, note
            put_on = None


def _off(signs: Sequence[MarkSign]) -> bool:
    """Whether a note's own grip mark has the thumb off the lever."""
    return any(sign.kind == GRIP and not sign.grip.has("Tb") for sign in signs)
