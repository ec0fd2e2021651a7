"""A held thumb and held fingers as two signs, at their start and at their release.

A player who keeps the thumb on Tb through a passage in flats, or R2 and R3 down across a
break, wants to read that once, not at every note.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from gripway.catalog.tables.effort_figures import effort_tables
from gripway.model.grip import Grip
from gripway.model.mark_text import HOLD, RELEASE, THUMB, MarkSign
from gripway.route.result import RouteNote

THUMB_TOUCHES = ("T", "Tb")
THUMB_ON, THUMB_OFF = MarkSign(THUMB, Grip.of(["Tb"])), MarkSign(THUMB, Grip.of(["T"]))


@dataclass(frozen=True, slots=True)
class HeldSpan:
    """Notes (by index) through which something is held, with the signs at both ends.

    `release` is the note at which it comes up, None where the passage ends before that.
    """

    start: int
    release: int | None
    on: MarkSign
    off: MarkSign
    notes: frozenset[int]

    def covers(self, index: int) -> bool:
        """Whether a note lies between the two signs."""
        return self.start <= index and (self.release is None or index < self.release)


def thumb_spans(notes: Sequence[RouteNote]) -> Iterator[HeldSpan]:
    """Where the thumb has its place on Tb for several notes; the lever is left when T comes down.

    It begins as late as it can: where the thumb last comes down before the first B-flat that is played so.
    """
    held: list[RouteNote] = []
    off: list[int] = []
    for note in notes:
        grip = note.candidate.grip if note.candidate else Grip(0)
        if grip.has("Tb"):
            held.append(note)
        elif grip.has("T"):
            yield from _thumb_span(held, off, note.index)
            held, off = [], []
        elif note.candidate is not None:
            off.append(note.index)
    yield from _thumb_span(held, off, None)


def _thumb_span(held: Sequence[RouteNote], off: Sequence[int], release: int | None) -> Iterator[HeldSpan]:
    """The span of notes with the thumb on Tb, given those between them with the thumb off."""
    need = next((note.index for note in held if is_lever_b_flat(note)), -1)
    places = [note.index for note in held]
    late = [place for place in places if not any(place < other < need for other in off)]
    enough = len(late) >= effort_tables().figures.held_least_notes
    return _span(late if enough else places, release, THUMB_ON, THUMB_OFF)


def thumb_places(notes: Iterable[RouteNote]) -> Iterator[tuple[RouteNote, str]]:
    """Notes on which the thumb comes down on another key than the last time, T or Tb; it begins on T."""
    on = THUMB_TOUCHES[0]
    for note in notes:
        grip = note.candidate.grip if note.candidate else Grip(0)
        down = next((touch for touch in THUMB_TOUCHES if grip.has(touch)), on)
        if down != on:
            yield note, down
        on = down


def is_lever_b_flat(note: RouteNote) -> bool:
    """Whether a note is a B-flat that the thumb on Tb makes."""
    return note.candidate is not None and note.candidate.form == "Tb"


def hold_spans(notes: Sequence[RouteNote]) -> Iterator[HeldSpan]:
    """Where other fingers stay down though no grip asks for them; those held together share signs."""
    together: dict[tuple[int, int | None], list[HeldSpan]] = {}
    for touch in dict.fromkeys(touch for note in notes for touch in more_touches(note)):
        for span in _touch_spans(notes, touch):
            together.setdefault((span.start, span.release), []).append(span)
    for (start, release), spans in together.items():
        grip = Grip.of(touch for span in spans for touch in span.on.grip.touches)
        covered = frozenset().union(*(span.notes for span in spans))
        yield HeldSpan(start, release, MarkSign(HOLD, grip), MarkSign(RELEASE, grip), covered)


def _touch_spans(notes: Sequence[RouteNote], touch: str) -> Iterator[HeldSpan]:
    """Where one finger stays down, from the first note that does not ask for it."""
    on, off = MarkSign(HOLD, Grip.of([touch])), MarkSign(RELEASE, Grip.of([touch]))
    held: list[int] = []
    for note in notes:
        if note.candidate is None:
            continue
        if touch in more_touches(note):
            held.append(note.index)
        elif held and not note.candidate.grip.has(touch):
            yield from _span(held, note.index, on, off)
            held = []
    yield from _span(held, None, on, off)


def _span(held: list[int], release: int | None, on: MarkSign, off: MarkSign) -> Iterator[HeldSpan]:
    if len(held) >= effort_tables().figures.held_least_notes:
        yield HeldSpan(held[0], release, on, off, frozenset(held))


def more_touches(note: RouteNote) -> tuple[str, ...]:
    """Fingers down that the grip of the tables does not ask for; the thumb's place is no such matter."""
    candidate = note.candidate
    if candidate is None or not candidate.held:
        return ()
    return tuple(
        touch
        for touch in candidate.grip.touches
        if not candidate.row_grip.has(touch) and touch not in THUMB_TOUCHES
    )


def is_said_by(note: RouteNote, spans: Sequence[HeldSpan]) -> bool:
    """Whether the signs of what is held say all that is unusual in a note's grip."""
    candidate = note.candidate
    around = [span for span in spans if note.index in span.notes]
    if candidate is None or not around:
        return False
    touches = {touch for span in around for touch in span.on.grip.touches}
    if candidate.form == "Tb" and not candidate.held:  # the B-flat that the thumb sign means
        return "Tb" in touches and not (candidate.row_grip.has("R1") or candidate.row_grip.has("Sb"))
    lifted = [t for t in candidate.row_grip.touches if not candidate.grip.has(t) and t not in THUMB_TOUCHES]
    return candidate.kind == "standard" and not lifted and touches.issuperset(more_touches(note))
