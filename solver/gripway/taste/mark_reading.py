"""The marks of a part, read from its fingerings and from what was decided or pinned beside it.

A grip counts as the row of the tables it comes from. A thumb that is put on Tb counts for the B-flats until
it is taken off. A note without a mark near one that has it is weak evidence: where marks are printed, of the
plain grip, as players read an unmarked note; where grips were only pinned or decided, of what the dials
gave, which the person was shown and left. Notes whose figure is marked anywhere, repeated notes, B-flats
and tremolos say nothing unmarked: marks stand at the first of a figure, and B-flats have three plain grips.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from gripway.candidates.candidates import FluteKnowledge
from gripway.candidates.familiarity_case import B_FLATS
from gripway.candidates.grip_check import GripCheck
from gripway.edition.printed_marks import source_signs
from gripway.model.figures import contexts, first_times
from gripway.model.grip import Grip
from gripway.model.mark_text import GRIP, THUMB, MarkSign
from gripway.model.passage import Note, Passage, Remark
from gripway.taste.mark import SCORE, ChosenGrip, MarkedPart, QuietNote


@dataclass(frozen=True, slots=True)
class Given:
    """A grip that was pinned or decided, and which of the two (PIN, DECISION)."""

    grip: Grip
    by: str


def marked_part(
    file: str,
    passage: Passage,
    knowledge: FluteKnowledge,
    check: GripCheck,
    given: Mapping[str, Given],
    near_notes: int,
) -> tuple[MarkedPart, tuple[Remark, ...]]:
    """A part with its marks, and remarks on those that are no grip of their note on this flute.

    `given` are grips by note id; they win over printed ones. The passage's fingerings are spelt out.
    """
    remarks: list[Remark] = []
    marks = tuple(_marks(passage, check, given, remarks))
    printed = any(mark.by == SCORE for mark in marks)
    quiet = tuple(_quiet(passage.notes, marks, check if printed else None, near_notes))
    return MarkedPart(file, passage.part, passage, knowledge, marks, quiet), tuple(remarks)


def _marks(
    passage: Passage, check: GripCheck, given: Mapping[str, Given], remarks: list[Remark]
) -> Iterator[ChosenGrip]:
    """The marks of a part in playing order, each written note once."""
    thumb_on = False
    for place in first_times(passage.notes):
        note = passage.notes[place]
        signs = list(source_signs(note))
        grips = [sign.grip for sign in signs if sign.kind == GRIP]
        thumb_on = _thumb_on(thumb_on, signs)
        chosen = given.get(note.id) or next((Given(grip, SCORE) for grip in grips), None)
        pitch = note.pitch.number
        if chosen is None:
            tb = _with_tb(check, pitch) if thumb_on and pitch in B_FLATS else None
            if tb is not None:
                yield ChosenGrip(place, note, tb, frozenset({tb.mask}), SCORE)
            continue
        rows = frozenset(candidate.row_grip.mask for candidate in check.candidates(pitch, chosen.grip))
        if rows:
            yield ChosenGrip(place, note, chosen.grip, rows, chosen.by)
        else:
            amiss = check.amiss(pitch, chosen.grip, note.pitch.name)
            what = f"{amiss.what}: {amiss.next_step}" if amiss else f"{chosen.grip.short} is no grip of it"
            remarks.append(Remark(f"{note.pitch.name} ({note.id}), mark left out: {what}", note.bar, note.id))


def _thumb_on(before: bool, signs: Sequence[MarkSign]) -> bool:
    """Whether the thumb is on Tb after these signs."""
    on = before
    for sign in signs:
        if sign.kind == THUMB or (sign.kind == GRIP and (sign.grip.has("T") or sign.grip.has("Tb"))):
            on = sign.grip.has("Tb")
    return on


def _with_tb(check: GripCheck, pitch: int) -> Grip | None:
    """The plain grip of a B-flat with the thumb on Tb."""
    rows = (row.grip for row in check.book.usable(pitch) if row.kind in ("standard", "alternate"))
    return next((grip for grip in rows if grip.has("Tb")), None)


def _quiet(
    notes: Sequence[Note], marks: Sequence[ChosenGrip], check: GripCheck | None, near: int
) -> Iterator[QuietNote]:
    """The notes without a mark that say something; the plain grips come from `check` (None: no rows)."""
    about = contexts(notes)
    marked = {mark.index for mark in marks}
    figures = {about[index] for index in marked}
    around = {index + step for index in marked for step in range(-near, near + 1)}
    for place in first_times(notes):
        note = notes[place]
        pitch = note.pitch.number
        again = place > 0 and notes[place - 1].pitch.number == pitch
        tremolo = note.ornament is not None and note.ornament.kind == "tremolo"
        if place not in around or place in marked or about[place] in figures or again or tremolo:
            continue
        if pitch in B_FLATS or note.problem:
            continue
        if check is None:
            yield QuietNote(place, note, frozenset())
        elif plain := frozenset(row.grip.mask for row in check.book.usable(pitch) if row.kind == "standard"):
            yield QuietNote(place, note, plain)
