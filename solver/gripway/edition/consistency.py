"""Whether the marks of one or several scores agree with themselves, with the notes and with the flute.

Marks are read as they stand, ours or another editor's, each note once, as it is played the
first time. Two grips of one figure are only reported where the surroundings are equal too
(`model/figures.py`): at another dynamic or tempo another grip can be right. Grips are compared
without regard to free fingers, which may stay down or not. Signs of held fingers and *simile*
are looked through in `edition/printed_holds.py`.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from gripway.candidates.grip_check import NEEDS, NO_GRIP, NO_HOLD, GripCheck, without
from gripway.edition.printed_holds import Loose, loose_signs
from gripway.edition.printed_marks import source_signs, thumb_left_on, unreadable
from gripway.effort.candidate import Candidate
from gripway.model.figures import Figure, FigureBounds, Nearest, figures, first_times, no_place_for_trills
from gripway.model.grip import Grip
from gripway.model.mark_text import GRIP, HOLD, RELEASE, SIMILE, MarkSign
from gripway.model.passage import Note

FIGURE, THUMB, TRILL, UNREADABLE, DECISION = "figure", "thumb", "trill", "unreadable", "decision"
KINDS = (FIGURE, THUMB, HOLD, RELEASE, SIMILE, TRILL, NEEDS, NO_GRIP, NO_HOLD, UNREADABLE, DECISION)
"""Kinds of findings, as the report lists them."""


ONE_GRIP = "Give both places one grip, or leave them if something else speaks for two"
"""What to do about a figure with two grips."""


@dataclass(frozen=True, slots=True)
class PartMarks:
    """One part with its marks: all its notes in played order, and the flute it is for."""

    file: str
    part: str
    notes: tuple[Note, ...]
    check: GripCheck

    @property
    def instrument(self) -> str:
        """The flute's id."""
        return self.check.book.knowledge.instrument.id


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing to look at: its kind (of KINDS), its place, what is the matter, what to do."""

    kind: str
    file: str
    part: str
    bar: str
    note: str
    id: str
    what: str
    next_step: str


@dataclass(frozen=True, slots=True)
class FirstMarked:
    """The first grip marked for a figure: where, and the grips of the tables it can be."""

    file: str
    part: str
    note: Note
    grip: Grip
    rows: frozenset[Grip]

    @property
    def place(self) -> str:
        """The place in words."""
        bar = f"in bar {self.note.bar}" if self.note.bar else f"at {self.note.id}"
        return f"{bar} ({self.part}, {self.file})"

    def finding(self, before: "FirstMarked") -> "Finding | None":
        """What is to be looked at where the same figure had another grip before."""
        if not before.rows.isdisjoint(self.rows):
            return None
        what = f"{self.grip.short} here, {before.grip.short} in the same figure {before.place}"
        return _finding(FIGURE, self, self.note, what, ONE_GRIP)


Figures = tuple[Figure, Figure]
"""The figure of a note in its own part, and the one that is it in the parts before (else the same)."""


@dataclass(slots=True)
class Consistency:
    """Goes through parts one after the other and remembers the grips of their figures."""

    bounds: FigureBounds
    said: dict[tuple[str, Figure], FirstMarked] = field(default_factory=dict)
    seen: dict[str, dict[Figure, None]] = field(default_factory=dict)

    def findings(self, parts: Iterable[PartMarks]) -> Iterator[Finding]:
        """Everything to look at, part by part in playing order."""
        for part in parts:
            about = figures(part.notes, self.bounds.tempo_step)
            seen = self.seen.setdefault(part.instrument, {})
            alike = Nearest(tuple(seen), self.bounds.tempo_step)
            for place in first_times(part.notes):
                note = part.notes[place]
                if note.fingering:
                    before = alike.of(about[place]) or about[place]
                    yield from self._of_note(part, note, (about[place], before))
            seen |= dict.fromkeys(about)
            yield from _thumbs(part)
            yield from _loose(part)

    def _of_note(self, part: PartMarks, note: Note, figure: Figures) -> Iterator[Finding]:
        for text in unreadable(note):
            yield _finding(
                UNREADABLE,
                part,
                note,
                f"the fingering {text!r} does not read as a grip",
                "Write the touches, left hand | right hand, or leave it to its own purpose",
            )
        for sign in source_signs(note):
            if sign.kind in (HOLD, RELEASE):
                yield from _lacking(part, note, sign)
            elif sign.kind == GRIP:
                yield from self._of_grip(part, note, figure, sign.grip)

    def _of_grip(self, part: PartMarks, note: Note, figure: Figures, grip: Grip) -> Iterator[Finding]:
        if amiss := part.check.amiss(note.pitch.number, grip, note.pitch.name):
            yield _finding(amiss.kind, part, note, amiss.what, amiss.next_step)
            return
        found = part.check.candidates(note.pitch.number, grip)
        if _is_trilling(found) and no_place_for_trills(note, self.bounds.sustained_ms):
            yield _finding(
                TRILL,
                part,
                note,
                f"{grip.short} is a grip for trills, on a note of {note.length_ms / 1000:.1f} s without one",
                f"Take a grip that holds: gripway grips {note.pitch.plain} lists them",
            )
        mine = FirstMarked(part.file, part.part, note, grip, _rows(found))
        here, elsewhere = figure
        own = self.said.setdefault((part.instrument, here), mine)
        if differing := mine.finding(self.said.get((part.instrument, elsewhere), own)):
            yield differing


def _rows(candidates: Sequence[Candidate]) -> frozenset[Grip]:
    return frozenset(candidate.row_grip for candidate in candidates)


def _is_trilling(candidates: Sequence[Candidate]) -> bool:
    return all(candidate.kind == "trill" for candidate in candidates)


def _lacking(part: PartMarks, note: Note, sign: MarkSign) -> Iterator[Finding]:
    """Held touches that the flute does not have."""
    instrument = part.check.book.knowledge.instrument
    if missing := instrument.mechanism.missing(sign.grip):
        keys = " and ".join(missing)
        what = f"{keys} held, which this flute lacks"
        yield _finding(NEEDS, part, note, what, without(instrument, missing))


def _thumbs(part: PartMarks) -> Iterator[Finding]:
    """Thumbs that are never told to leave Tb before a note it spoils."""
    reported: set[str] = set()
    for put_on, spoilt in thumb_left_on(part.notes, lambda note: tuple(source_signs(note))):
        if put_on.id not in reported:
            reported.add(put_on.id)
            where = f"{spoilt.pitch.name} in bar {spoilt.bar}" if spoilt.bar else spoilt.pitch.name
            yield _finding(
                THUMB,
                part,
                put_on,
                f"the thumb goes on Tb and is not released before {where}, which Tb spoils",
                f"Mark T at the {spoilt.pitch.name} or before it",
            )


def _loose(part: PartMarks) -> Iterator[Finding]:
    """Held fingers never released, releases and similes that refer to nothing."""
    for loose in loose_signs(part.notes, part.check.can_hold):
        what, next_step = _LOOSE[loose.kind](loose)
        yield _finding(loose.kind, part, loose.note, what, next_step)


def _held_too_long(loose: Loose) -> tuple[str, str]:
    against = loose.against or loose.note
    where = f"{against.pitch.name} in bar {against.bar}" if against.bar else against.pitch.name
    if loose.marked is not None:
        why = f"whose mark {loose.marked.short} lifts what is held"
    else:
        why = "which has no usual grip that leaves it down"
    touches = " ".join(loose.touches.touches)
    return (
        f"{touches} held and not released before {where}, {why}",
        f"Mark the release at the {against.pitch.name}",
    )


def _held_by_nobody(loose: Loose) -> tuple[str, str]:
    touches = " ".join(loose.touches.touches)
    return (
        f"{touches} released, which no mark before holds",
        "Mark where it is held, or take the release away",
    )


def _like_nothing(_loose: Loose) -> tuple[str, str]:
    what = "simile, but no grip is marked before for these same notes"
    return what, "Mark the grip here, or at the first time of the figure"


_LOOSE = {HOLD: _held_too_long, RELEASE: _held_by_nobody, SIMILE: _like_nothing}


def _finding(kind: str, part: PartMarks | FirstMarked, note: Note, what: str, next_step: str) -> Finding:
    return Finding(kind, part.file, part.part, note.bar, note.pitch.name, note.id, what, next_step)
