"""What the routes of a passage are searched on: solved pieces, and what they pay for new grips."""

from dataclasses import dataclass

from gripway.candidates.note_columns import NoteColumn
from gripway.charges.charged_route import Charged, NewGrip
from gripway.charges.charges_paid import Charges, Learnt
from gripway.effort.candidate import Candidate
from gripway.effort.setting import Link, Setting
from gripway.route.curve import CurveStep
from gripway.trellis.trellis import Trellis, TrellisBuilder


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of notes with grips: its trellis and the chosen place in every column.

    `shown` is the trellis as seen from the chosen path: with what other grips would charge besides.
    """

    trellis: Trellis
    path: tuple[int, ...]
    shown: Trellis

    @property
    def chosen(self) -> dict[int, Candidate]:
        """The chosen grip of every note, by the note's index."""
        columns = enumerate(self.trellis.columns, start=self.trellis.start)
        return {index: column[place] for (index, column), place in zip(columns, self.path, strict=True)}


@dataclass(frozen=True, slots=True)
class Ground:
    """What the routes of a passage are searched on: its solved pieces, the settings and links of its notes.

    `columns` has, for every note without a grip, the reason why; `curve` has the learning curve where
    it was asked for.
    """

    columns: tuple[NoteColumn, ...]
    pieces: tuple[Piece, ...]
    settings: tuple[Setting, ...]
    links: tuple[Link, ...]
    builder: TrellisBuilder
    charged: Charged | None = None
    curve: tuple[CurveStep, ...] = ()


def charges_of(charged: Charged | None) -> Charges | None:
    """What a route pays for new grips and for changes of a pitch's grip, for its answer."""
    if charged is None:
        return None
    network = charged.network
    by_key = {
        (c.pitch, c.row_grip.mask): c
        for column in {id(c): c for c in network.columns}.values()
        for c in column
    }
    changed = [(network.places[a], network.places[b]) for a, b in network.changed(charged.path)]
    return Charges(
        learn=tuple(_learnt(by_key[new.key], new) for new in charged.new),
        left_out=tuple(_learnt(by_key[new.key], new) for new in charged.left_out),
        each_milli=network.charge_milli,
        changed=tuple(changed),
        change_milli=network.return_milli,
        bound_milli=charged.bound_milli,
    )


def _learnt(candidate: Candidate, new: NewGrip) -> Learnt:
    return Learnt(candidate.pitch, candidate.row_grip, candidate.kind, new.saves_milli, new.steady)
