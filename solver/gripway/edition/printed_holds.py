"""Signs of held fingers and of *simile* that lead nowhere.

A part's notes are gone through as written, each once. Fingers held by a sign must be able to
stay down until a sign releases them: no grip marked in between lifts them, and every note that
is told nothing has a usual grip that leaves them down. A *simile* needs a grip marked before
for its own figure: the same note between the same two, as long. What is wrong comes as plain
values (`Loose`); the consistency report puts it into words of its own.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from gripway.edition.printed_marks import source_signs
from gripway.model.figures import Context, contexts, first_times
from gripway.model.grip import Grip
from gripway.model.mark_text import GRIP, HOLD, NOTHING, RELEASE, SIMILE
from gripway.model.passage import Note

CanHold = Callable[[Note, Grip], bool]
"""Whether a note that is told nothing can have these touches down."""


@dataclass(frozen=True, slots=True)
class Loose:
    """A sign (of the kind HOLD, RELEASE or SIMILE) that leads nowhere.

    `note` has the sign; `touches` are the fingers it is about; `against` is the note that cannot
    have them down, with the grip marked there, or None where no usual grip does.
    """

    kind: str
    note: Note
    touches: Grip = NOTHING
    against: Note | None = None
    marked: Grip | None = None


def loose_signs(notes: Sequence[Note], can_hold: CanHold) -> Iterator[Loose]:
    """Everything of these kinds in a part, in playing order; `notes` with every time through."""
    about = contexts(notes)
    written = [(notes[place], about[place]) for place in first_times(notes)]
    told = _told(written)
    yield from _holds([note for note, _ in written], told, can_hold)
    for place, (note, _) in enumerate(written):
        if any(sign.kind == SIMILE for sign in source_signs(note)):
            figure = {each.id for each, _ in written[place : place + 2]}
            figure |= {each.id for each, _ in written if each.beam == note.beam != 0}
            if not told & figure:
                yield Loose(SIMILE, note)


def _told(written: Sequence[tuple[Note, Context]]) -> set[str]:
    """The notes for whose figure a grip is marked, there or before.

    A note that repeats the pitch before it goes without a mark of its own, and is told by that one's.
    """
    figures: set[Context] = set()
    notes: set[str] = set()
    before: tuple[int, bool] = (-1, False)
    for note, context in written:
        if before == (note.pitch.number, True) or any(sign.kind == GRIP for sign in source_signs(note)):
            figures.add(context)
        if context in figures:
            notes.add(note.id)
        before = note.pitch.number, context in figures
    return notes


def _holds(notes: Sequence[Note], told: set[str], can_hold: CanHold) -> Iterator[Loose]:
    """Held fingers that cannot stay down, and releases of fingers nobody holds."""
    held: dict[str, Note] = {}
    for note in notes:
        signs = tuple(source_signs(note))
        for sign in (sign for sign in signs if sign.kind == RELEASE):
            idle = [touch for touch in sign.grip.touches if held.pop(touch, None) is None]
            if idle:
                yield Loose(RELEASE, note, Grip.of(idle))
        held |= {touch: note for sign in signs if sign.kind == HOLD for touch in sign.grip.touches}
        marked = [sign.grip for sign in signs if sign.kind == GRIP]
        for put_down in dict.fromkeys(held.values()):
            touches = Grip.of(touch for touch, start in held.items() if start is put_down)
            lifting = [grip for grip in marked if touches.mask & ~grip.mask]
            if lifting or (note.id not in told and not can_hold(note, touches)):
                yield Loose(HOLD, put_down, touches, note, *lifting[:1])
                held = {touch: start for touch, start in held.items() if start is not put_down}
