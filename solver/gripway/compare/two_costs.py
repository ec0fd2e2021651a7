"""The two axes of the trade-off, as whole numbers for every node of a trellis.

Effort is everything of the ledger but its part for tuning, so that nothing counts on both axes;
what a written trill costs stays whole, the lean of its other note with it. Tuning is the lean in
cents as the answers print it, without its sign, times the length of the note: in tenths of a
cent times milliseconds. A grip of which no lean is known counts as the furthest out of the known
ones of its note; a note of which none is known counts nothing.
"""

from dataclasses import dataclass

from gripway.effort.candidate import Candidate
from gripway.model.passage import Passage
from gripway.route.ground import Ground
from gripway.route.joined import Joined
from gripway.trellis.path import INF, Block, Cost, each_once
from gripway.trellis.trellis import TIE_BITS

TENTHS = 10


@dataclass(frozen=True, slots=True)
class Axes:
    """Effort (thousandths) and lean (tenths of a cent x ms) of every node, and effort of every edge.

    `sounding_ms` is the length of the notes whose lean is counted.
    """

    efforts: tuple[tuple[int, ...], ...]
    leans: tuple[tuple[int, ...], ...]
    blocks: tuple[Block, ...]
    sounding_ms: int

    def values(self, path: tuple[int, ...]) -> tuple[int, int]:
        """Effort and lean of one path."""
        effort = sum(column[node] for column, node in zip(self.efforts, path, strict=True))
        lean = sum(column[node] for column, node in zip(self.leans, path, strict=True))
        moved = sum(int(self.blocks[k][path[k]][path[k - 1]]) for k in range(1, len(path)))
        return effort + moved, lean

    def cents(self, lean: int) -> float:
        """A lean as cents a note on average, long notes counting by their length."""
        return lean / TENTHS / self.sounding_ms if self.sounding_ms else 0.0


def axes_of(passage: Passage, ground: Ground, whole: Joined) -> Axes:
    """Both axes over the joined trellis of a passage."""
    leans, efforts, sounding_ms = [], [], 0
    for place, column, costs in zip(whole.places, whole.columns, whole.nodes, strict=True):
        length_ms = max(1, round(passage.notes[place].length_ms))
        known = [lean for c in column if (lean := _lean(c)) is not None]
        sounding_ms += length_ms if known else 0
        worst = max(known, default=0)
        leans.append(tuple(length_ms * (worst if (lean := _lean(c)) is None else lean) for c in column))
        parts = (ground.builder.model.holding(c, ground.settings[place]) for c in column)
        tunings = (dict(held.parts).get("tuning", 0) if held else 0 for held in parts)
        efforts.append(
            tuple((int(cost) >> TIE_BITS) - part for cost, part in zip(costs, tunings, strict=True))
        )
    return Axes(tuple(efforts), tuple(leans), tuple(each_once(whole.blocks, _plain_block)), sounding_ms)


def _lean(candidate: Candidate) -> int | None:
    """Tenths of a cent of a grip's lean, without its sign; None where nothing is known."""
    cents = candidate.tendency.cents
    return None if cents is None else round(abs(round(cents, 1)) * TENTHS)


def _plain_block(block: Block) -> Block:
    """A block in thousandths of an effort."""
    return [[_plain(cost) for cost in row] for row in block]


def _plain(cost: Cost) -> Cost:
    return INF if cost == INF else int(cost) >> TIE_BITS
