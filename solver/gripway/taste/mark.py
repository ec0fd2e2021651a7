"""What a person wrote on one note, and the part it stands in."""

from dataclasses import dataclass

from gripway.candidates.candidates import FluteKnowledge
from gripway.model.grip import Grip
from gripway.model.passage import Note, Passage

SCORE, DECISION, PIN = "score", "decision", "pin"
"""Where a mark was said: printed in the score, in a file of decisions, or pinned."""


@dataclass(frozen=True, slots=True)
class ChosenGrip:
    """A grip somebody chose for a note (its first time in the passage), and who says so (SCORE, ...).

    `rows` are the touches of the grips of the tables it can be: fingers held without need make no difference.
    """

    index: int
    note: Note
    grip: Grip
    rows: frozenset[int]
    by: str


@dataclass(frozen=True, slots=True)
class QuietNote:
    """A note near a mark that has none: weak evidence of the grip it was left with (as ChosenGrip.rows).

    No rows: it is evidence of what the dials as they stand give, which whoever pinned others was shown.
    """

    index: int
    note: Note
    rows: frozenset[int]


@dataclass(frozen=True, slots=True)
class MarkedPart:
    """A part with its marks, as it is played, and what is known of its flute and player."""

    file: str
    part: str
    passage: Passage
    knowledge: FluteKnowledge
    marks: tuple[ChosenGrip, ...]
    quiet: tuple[QuietNote, ...] = ()


@dataclass(frozen=True, slots=True)
class Place:
    """A marked note as it is told: file, part, bar as printed, the note's name and id, the grip marked."""

    file: str
    part: str
    bar: str
    note: str
    id: str
    grip: Grip

    @classmethod
    def of(cls, part: MarkedPart, mark: ChosenGrip) -> "Place":
        """The place of a mark."""
        return cls(part.file, part.part, mark.note.bar, mark.note.pitch.name, mark.note.id, mark.grip)
