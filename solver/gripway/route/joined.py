"""The pieces of a passage as one trellis, for questions about whole routes."""

from dataclasses import dataclass

from gripway.charges.charged_route import Charged
from gripway.effort.candidate import Candidate
from gripway.model.grip import Grip
from gripway.route.ground import Ground
from gripway.trellis.path import Block, Cost
from gripway.trellis.trellis import Column, effort_of

GripName = tuple[Grip, str]


@dataclass(frozen=True, slots=True)
class Joined:
    """Every note that has a grip: its index in the passage, its column, and the costs of the trellis.

    Between two pieces every change is free. `path` is the normal answer; the costs are those that it
    shows: a grip it does not use charges what learning it would. `charged` is what routes truly charge.
    """

    places: tuple[int, ...]
    columns: tuple[Column, ...]
    nodes: tuple[tuple[Cost, ...], ...]
    blocks: tuple[Block, ...]
    path: tuple[int, ...]
    charged: Charged | None = None

    def milli(self, path: tuple[int, ...]) -> int:
        """Thousandths of an effort that an allowed path truly takes, its charges counted as they are."""
        if self.charged is not None:
            return self.charged.with_left_out(path)
        held = sum(column[node] for column, node in zip(self.nodes, path, strict=True))
        return effort_of(held + sum(self.blocks[k][path[k]][path[k - 1]] for k in range(1, len(path))))

    def candidates(self, path: tuple[int, ...]) -> tuple[Candidate, ...]:
        """The candidates a path chooses."""
        return tuple(column[node] for column, node in zip(self.columns, path, strict=True))


def joined(ground: Ground) -> Joined:
    """The pieces of a passage in a row, the gaps between them left out."""
    places: list[int] = []
    columns: list[Column] = []
    blocks: list[Block] = []
    for piece in ground.pieces:
        trellis = piece.shown
        first = trellis.columns[0]
        free: Block = [[0] * len(columns[-1])] * len(first) if columns else ()
        blocks += [free, *trellis.blocks[1:]]
        places += range(trellis.start, trellis.start + len(trellis.columns))
        columns += trellis.columns
    nodes = tuple(costs for piece in ground.pieces for costs in piece.shown.nodes)
    path = tuple(node for piece in ground.pieces for node in piece.path)
    return Joined(tuple(places), tuple(columns), nodes, tuple(blocks), path, ground.charged)


def grip_name(candidate: Candidate) -> GripName:
    """What makes two candidates of a note the same grip to a player: the grip of the tables and its kind.

    Fingers that may stay where they are, and where lifted fingers rest, make no other grip.
    """
    return candidate.row_grip, candidate.kind
