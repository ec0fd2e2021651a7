"""A part of a network without what is settled: runs of columns with one node become one column."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gripway.charges.label_search import settled_pairs
from gripway.trellis.constrained_network import ConstrainedNetwork, every_place
from gripway.trellis.path import Block, Cost


@dataclass(frozen=True, slots=True)
class Part:
    """A smaller network and where it comes from.

    `columns` are the columns of the first network that it still has, `ids` the places of its nodes
    there; `settled` is the place in every column of the first network, right where nothing is left to choose.
    """

    network: ConstrainedNetwork
    columns: Sequence[int]
    ids: Sequence[Sequence[int]]
    settled: Sequence[int]

    @classmethod
    def of(cls, network: ConstrainedNetwork) -> "Part":
        """All of a network."""
        whole = [every_place(len(column)) for column in network.nodes]
        return cls(network, range(len(whole)), whole, [0] * len(whole))

    def path(self, path: Sequence[int]) -> list[int]:
        """A path of this part as one of the first network."""
        found = list(self.settled)
        for p, ids, k in zip(self.columns, self.ids, path, strict=True):
            found[p] = ids[k]
        return found

    def only(self, keep: Sequence[Sequence[int]]) -> tuple["Part", dict[int, int]]:
        """The part with these nodes, drawn together; and which of its columns each old one has become."""
        small = self.network.only(keep)
        nodes, pairs = settled_pairs(small, small.nodes)
        left, kept_nodes, blocks = list[int](), list[Sequence[Cost]](), list[Block]()
        settled, single = list(self.settled), False
        for p, (column, counted) in enumerate(zip(nodes, small.counted, strict=True)):
            plain = len(column) == 1 and counted.new[0] is None
            if plain and single:
                kept_nodes[-1] = (kept_nodes[-1][0] + small.blocks[p][0][0] + column[0],)
                settled[self.columns[p]] = self.ids[p][keep[p][0]]
            else:
                left.append(p)
                kept_nodes.append(column)
                blocks.append(small.blocks[p])
            single = plain
        where = {p: q for q, p in enumerate(left)}
        network = replace(
            small,
            columns=tuple(small.columns[p] for p in left),
            places=tuple(small.places[p] for p in left),
            nodes=tuple(tuple(column) for column in kept_nodes),
            blocks=tuple(blocks),
            counted=tuple(small.counted[p] for p in left),
            ids=tuple(small.ids[p] for p in left),
            returns=tuple((where[a], where[b]) for a, b in pairs),
        )
        ids = [[self.ids[p][k] for k in keep[p]] for p in left]
        return Part(network, [self.columns[p] for p in left], ids, settled), where
