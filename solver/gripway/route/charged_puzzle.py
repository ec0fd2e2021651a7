"""From the trellises of a passage to one puzzle that charges for new grips and for changes of grip.

A pitch returns at a note when it stood a few notes before; pairs of such notes are charged when their
grips come from different rows of the tables. Notes with an ornament, and notes whose grip is asked for,
are no part of a pair.
"""

from collections.abc import Sequence

from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI
from gripway.effort.model import EffortModel
from gripway.model.grip import BIT
from gripway.model.passage import Note
from gripway.route.path import Block, Cost
from gripway.route.puzzle import Counted, Puzzle
from gripway.route.trellis import Column, Trellis

LITTLE_FINGER = BIT["Eb"]
"""Lifting it alone makes no other grip of a pitch: held E6 without Eb, passing E6 with it."""


def charged_puzzle(
    trellises: Sequence[Trellis],
    returns: Sequence[tuple[int, int]],
    charge_milli: int,
    return_milli: int,
) -> Puzzle:
    """The puzzle of all trellises; `returns` are pairs of notes by their places in the passage."""
    columns, places = list[Column](), list[int]()
    nodes, blocks = list[tuple[Cost, ...]](), list[Block]()
    for trellis in trellises:
        for k, (column, costs) in enumerate(zip(trellis.columns, trellis.nodes, strict=True)):
            join: Block = [[0] * len(columns[-1]) for _ in column] if columns else ()
            blocks.append(trellis.blocks[k] if k else join)
            columns.append(column)
            nodes.append(costs)
            places.append(trellis.start + k)
    counted = {id(column): counted_of(column) for column in {id(c): c for c in columns}.values()}
    where = {place: p for p, place in enumerate(places)}
    return Puzzle(
        columns=tuple(columns),
        places=tuple(places),
        nodes=tuple(nodes),
        blocks=tuple(blocks),
        counted=tuple(counted[id(column)] for column in columns),
        ids=tuple(tuple(range(len(column))) for column in columns),
        charge_milli=charge_milli,
        returns=tuple((where[a], where[b]) for a, b in returns if a in where and b in where),
        return_milli=return_milli,
    )


def counted_of(column: Column) -> Counted:
    """What the candidates of a column count for."""
    none = (0,) * len(column)
    rows = tuple(c.row_grip.mask & ~LITTLE_FINGER for c in column)
    return Counted(none, none, none, tuple(_new(c) for c in column), rows)


def _new(candidate: Candidate) -> tuple[int, int] | None:
    """The grip somebody must learn for a candidate: none for usual and known grips."""
    known = candidate.usual or candidate.case == "standard"
    return None if known else (candidate.pitch, candidate.row_grip.mask)


def return_pairs(notes: Sequence[Note], near: int) -> list[tuple[int, int]]:
    """Pairs of notes at most `near` apart in which a pitch returns; the next note is no return."""
    last: dict[int, int] = {}
    pairs = []
    for place, note in enumerate(notes):
        pitch = note.pitch.number
        if note.ornament is not None:
            last.pop(pitch, None)
            continue
        if pitch in last and 1 < place - last[pitch] <= near:
            pairs.append((last[pitch], place))
        last[pitch] = place
    return pairs


def charge_of(notes: int, model: EffortModel) -> int:
    """Thousandths of an effort that a new grip costs a passage of so many notes."""
    figures = model.figures
    share = min(1.0, notes / figures.learning_notes)
    return round(model.dials["learning"] * figures.learning_charge * MILLI * share)


def return_charge_of(model: EffortModel) -> int:
    """Thousandths of an effort that a pitch costs which returns with another grip."""
    return round(model.dials["return"] * model.figures.return_charge * MILLI)
