"""Whether a grip written in a score is one: for this pitch, on this flute."""

from collections.abc import Sequence
from dataclasses import dataclass

from gripway.candidates.candidates import Candidates
from gripway.catalog.flute.grips import allowed
from gripway.catalog.flute.instruments import parts_for
from gripway.effort.candidate import Candidate
from gripway.errors import ImpossibleHoldError
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.passage import Note
from gripway.model.pitch import plain_name

NEEDS, NO_HOLD, NO_GRIP = "needs", "no-hold", "no-grip"
"""What can be amiss with a grip: a part the flute lacks; no hand can hold it; not of this pitch."""


UNASKED_KINDS = ("standard", "alternate")
"""Kinds of grips a player may take unasked."""


@dataclass(frozen=True, slots=True)
class Amiss:
    """What is wrong with a grip (of the three kinds above), in words, with what may be done."""

    kind: str
    what: str
    next_step: str


class GripCheck:
    """Looks grips up among everything a flute can play."""

    def __init__(self, book: Candidates) -> None:
        self.book = book

    def candidates(self, pitch: int, grip: Grip) -> tuple[Candidate, ...]:
        """Every candidate of a pitch that is this grip, with free fingers or without; empty when none is."""
        column = self.book.column(pitch, True, True, self.book.free(pitch))
        return tuple(candidate for candidate in column if candidate.grip == grip)

    def standard(self, pitch: int) -> Grip | None:
        """The first standard grip of a pitch that may be proposed."""
        return next((row.grip for row in self.book.usable(pitch) if row.kind == "standard"), None)

    def with_thumb(self, pitch: int, touch: str) -> Grip | None:
        """A standard grip of a pitch with the thumb on T or Tb, as `touch` says; None where there is none."""
        rows = [row.grip for row in self.book.usable(pitch) if row.kind == "standard"]
        rows.sort(key=lambda grip: not grip.has(touch))
        thumbs = Grip.of(["T", "Tb"]).mask
        moved = (Grip(grip.mask & ~thumbs | Grip.of([touch]).mask) for grip in rows if grip.mask & thumbs)
        return next((grip for grip in moved if self.candidates(pitch, grip)), None)

    def can_hold(self, note: Note, touches: Grip) -> bool:
        """Whether a grip a player may take unasked has these touches down, asked for or held without need.

        Touches the flute lacks do not count, and a note without any grip can have all.
        """
        pitch = note.pitch.number
        lacking = Grip.of(self.book.knowledge.instrument.mechanism.missing(touches))
        wanted = touches.mask & ~lacking.mask
        column = self.book.column(pitch, True, True, self.book.free(pitch))
        return not column or any(c.kind in UNASKED_KINDS and not wanted & ~c.grip.mask for c in column)

    def amiss(self, pitch: int, grip: Grip, written: str = "") -> Amiss | None:
        """What is wrong with a grip of a pitch, called as it is written; None where nothing is."""
        if self.candidates(pitch, grip):
            return None
        instrument, name = self.book.knowledge.instrument, written or plain_name(pitch)
        for row in self.book.rows(pitch):
            if row.grip == grip and not allowed(row, instrument):
                lacking = " and ".join(sorted(row.needs - set(instrument.parts)))
                return Amiss(
                    NEEDS,
                    f"{grip.short} needs {lacking}",
                    _say_with(sorted(row.needs - set(instrument.parts))),
                )
            if row.grip == grip:
                why = f"{grip.short} is known for {name}, but banned, or too unsure to be proposed"
                return Amiss(NO_GRIP, why, f"See gripway grips {name} --explain")
        if missing := instrument.mechanism.missing(grip):
            keys = " and ".join(missing)
            return Amiss(
                NEEDS, f"{grip.short} needs {keys}, which this flute lacks", without(instrument, missing)
            )
        try:
            instrument.mechanism.holds(grip)
        except ImpossibleHoldError as problem:
            return Amiss(NO_HOLD, problem.what, "Correct the fingering")
        known = dict.fromkeys(row.grip.short for row in self.book.usable(pitch))
        listed = "; ".join(list(known)[:3])
        return Amiss(
            NO_GRIP,
            f"{grip.short} is no grip of {name} in the tables",
            f"gripway grips {name} lists them: {listed}" if listed else f"{name} has no grip on this flute",
        )


def without(instrument: Instrument, touches: Sequence[str]) -> str:
    """What may be done about touches the flute lacks: the part to name, if a part brings them."""
    return _say_with(parts_for(instrument, touches))


def _say_with(parts: Sequence[str]) -> str:
    if not parts:
        return "Choose another grip: no part of this flute brings it"
    return f"Choose another grip, or name the part {','.join(parts)} if the flute has it"
