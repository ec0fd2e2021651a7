"""From the trellises of a passage to one network over all of it, with what each candidate counts for."""

from collections.abc import Sequence

from gripway.effort.candidate import Candidate
from gripway.trellis.constrained_network import ConstrainedNetwork, Counted, Key, every_place
from gripway.trellis.path import Block, Cost
from gripway.trellis.trellis import Column, Trellis


def joined(trellises: Sequence[Trellis]) -> ConstrainedNetwork:
    """The network of all trellises, without charges and limits."""
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
    return ConstrainedNetwork(
        columns=tuple(columns),
        places=tuple(places),
        nodes=tuple(nodes),
        blocks=tuple(blocks),
        counted=tuple(counted[id(column)] for column in columns),
        ids=tuple(every_place(len(column)) for column in columns),
    )


def counted_of(column: Column) -> Counted:
    """What the candidates of a column count for."""
    return Counted(
        unusual=tuple(int(not c.usual) for c in column),
        tenths=tuple(tenths_of(c) for c in column),
        grips=tuple(c.grip.mask for c in column),
        new=tuple(new_key(c) for c in column),
        rows=tuple(c.row_grip.mask for c in column),
    )


def tenths_of(candidate: Candidate) -> int:
    """The size of a candidate's lean in tenths of a cent, as the JSON prints it; 0 where none is known."""
    cents = candidate.tendency.cents
    return 0 if cents is None else abs(round(round(cents, 1) * 10))


def new_key(candidate: Candidate) -> Key | None:
    """The grip somebody must learn for a candidate: none for usual and known grips."""
    known = candidate.usual or candidate.case == "standard"
    return None if known else (candidate.pitch, candidate.row_grip.mask)
