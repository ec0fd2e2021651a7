"""The network of a route with one grip a figure: what each figure is kept to, and what gives way."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from gripway.limits.feasible import most_together
from gripway.limits.proved_path import Answer, limited_path
from gripway.model.grip import Grip
from gripway.trellis.constrained_network import ConstrainedNetwork


@dataclass(frozen=True, slots=True)
class Want:
    """The notes of a figure, and the grip that another part has for it (None: none yet)."""

    places: tuple[int, ...]
    grip: Grip | None = None


@dataclass(frozen=True, slots=True)
class Kept:
    """Columns that are kept to one of some grips of the tables (their touches)."""

    columns: tuple[int, ...]
    rows: frozenset[int]


@dataclass(frozen=True, slots=True)
class Settled:
    """Indices of notes with their grips, and what the route they were found on takes (thousandths)."""

    grips: tuple[tuple[int, Grip], ...] = ()
    milli: int | None = None


class OneGripPerFigure:
    """A network without figures, and the figures wanted; `spoilt` are nodes better not taken."""

    def __init__(
        self,
        network: ConstrainedNetwork,
        wants: Sequence[Want],
        spoilt: Sequence[Sequence[bool]],
        seconds: float,
    ) -> None:
        self.seconds = seconds
        good = [
            [k for k, bad in enumerate(column) if not bad] or list(range(len(column))) for column in spoilt
        ]
        self.networks = (network.only(good), network)
        self.spoilt = {p for p, column in enumerate(spoilt) if any(column)}
        columns = {place: p for p, place in enumerate(network.places)}
        self.wants = [
            replace(want, places=tuple(columns[place] for place in want.places if place in columns))
            for want in wants
        ]

    def settled(self) -> Settled:
        """The notes in figures with their grips; none where nothing could be found in time.

        Where not all can be kept together, as many figures as possible are; where none can, nodes better
        not taken are.
        """
        for network in self.networks:
            kept = [found for want in self.wants if want.places and (found := _kept(network, want))]
            answer = self._answer(network, kept)
            if answer.conflict:
                together = most_together(network, [(each.columns, each.rows) for each in kept], self.seconds)
                kept = [kept[number] for number in together or ()]
                answer = self._answer(network, kept)
            if answer.path is not None:
                columns = sorted({p for each in kept for p in each.columns} | self.spoilt)
                rows = ((p, network.counted[p].rows[answer.path[p]]) for p in columns)
                grips = tuple((network.places[p], Grip(row)) for p, row in rows)
                return Settled(grips, network.milli(answer.path))
        return Settled()

    def _answer(self, network: ConstrainedNetwork, kept: Sequence[Kept]) -> Answer:
        """The least path with one grip for each of the figures."""
        keep = [list(range(len(column))) for column in network.nodes]
        for each in kept:
            for p in each.columns:
                keep[p] = [k for k in keep[p] if network.counted[p].rows[k] in each.rows]
        figures = tuple(each.columns for each in kept if len(each.columns) > 1)
        part = replace(network.only(keep), figures=figures)
        answer = limited_path(part, self.seconds)
        if answer.path is None:
            return answer
        return replace(answer, path=[keep[p][k] for p, k in enumerate(answer.path)])


def _kept(network: ConstrainedNetwork, want: Want) -> Kept | None:
    """What a figure is kept to: the known grip, else any that its notes share.

    Notes that lack the known grip, or the grip most of them have, are left out.
    """
    had = [frozenset(network.counted[p].rows) for p in want.places]
    counts = Counter(row for rows in had for row in rows)
    shared = frozenset(row for row, count in counts.items() if count == len(had))
    wished = frozenset({want.grip.mask} if want.grip else ()) & counts.keys()
    if not wished and len(had) == 1:
        return None
    shared = wished or shared or frozenset({max(counts, key=lambda row: (counts[row], -row))})
    columns = tuple(p for p, rows in zip(want.places, had, strict=True) if shared <= rows)
    return Kept(columns, shared)
