"""One passage at many tempos: what no tempo changes is worked out once, the rest as far as it is asked."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gripway.asked.wishes import LEAST_EFFORT, Wishes
from gripway.candidates.note_columns import NoteColumn, asked_places, note_columns
from gripway.charges.charged_route import Charged, charged_route
from gripway.charges.charging import NO_CHARGES, charged_network
from gripway.charges.least_path import ChargedPath, evened, least_charged
from gripway.effort.candidate import Candidate
from gripway.effort.setting import Link, Setting, links, settings
from gripway.model.passage import Note, Passage
from gripway.route.linking import carried_over, with_carried
from gripway.route.solve import Solver
from gripway.route.stretches import stretch_trellises
from gripway.trellis.constrained_network import ConstrainedNetwork
from gripway.trellis.path import forward
from gripway.trellis.trellis import effort_of


def faster(notes: Sequence[Note], factor: float) -> tuple[Note, ...]:
    """The notes played `factor` times as fast."""
    return tuple(
        replace(note, onset_ms=note.onset_ms / factor, length_ms=note.length_ms / factor) for note in notes
    )


@dataclass(frozen=True, slots=True)
class _Tempo:
    """The notes at one tempo, with what a cost asks of the music there."""

    notes: tuple[Note, ...]
    links: tuple[Link, ...]
    settings: tuple[Setting, ...]


class Tempos:
    """The notes of a passage on one flute, for one player, at tempos of its own times a factor."""

    def __init__(self, solver: Solver, passage: Passage) -> None:
        self.solver = solver
        self.passage = passage
        self._tempos: dict[float, _Tempo] = {}

    def at(self, factor: float) -> _Tempo:
        """The notes so many times as fast."""
        if factor not in self._tempos:
            tables, notes = self.solver.tables, faster(self.passage.notes, factor)
            between = links(notes, tables.figures)
            self._tempos[factor] = _Tempo(notes, between, settings(notes, between, tables))
        return self._tempos[factor]


@dataclass(slots=True)
class _Searched:
    """What some wishes are searched on at a tempo (None: no note has a grip), and what was found."""

    links: tuple[Link, ...]
    network: ConstrainedNetwork | None
    least: ChargedPath | None = None
    charged: Charged | None = None


class Efforts:
    """The efforts (thousandths) of the routes that some wishes ask for, by the factor of the tempo.

    The wishes are as those of `Solver.solve`, without limits and without a number of grips to learn.
    """

    def __init__(self, tempos: Tempos, wishes: Wishes) -> None:
        solver, notes = tempos.solver, tempos.passage.notes
        self._tempos, self._solver, self._builder = tempos, solver, solver.builder(wishes)
        self._columns = note_columns(notes, solver.book, wishes)
        self._carried = carried_over(notes, solver.book, solver.model.times, asked_places(notes, wishes))
        self._charging = solver.charging(notes) if wishes.choose == LEAST_EFFORT else NO_CHARGES
        self._searched: dict[float, _Searched] = {}

    def effort(self, factor: float) -> int:
        """The effort of the route, as `Solver.solve` finds it."""
        network = self._at(factor).network
        if network is not None and self._charging is NO_CHARGES:
            return _least_milli(network)
        if network is not None and network.same_charges:  # no grip to be left out, and no other to be learnt
            return effort_of(least_charged(network).cost)
        charged = self._route(factor)
        return charged.milli if charged else 0

    def below(self, factor: float, milli: int) -> bool:
        """Whether the route takes less effort than this; searched only as far as that needs.

        No route takes less than the least path without charges, none of these more than the least
        without new grips, and leaving out grips that are not worth it never makes a route cheaper.
        """
        searched = self._at(factor)
        network = searched.network
        if network is None:
            return milli > 0
        if _least_milli(network) >= milli:
            return False
        if (usual := network.learning(())) and searched.charged is None:
            small = network.only(usual)
            if (path := evened(small)) and small.milli(path) < milli:
                return True
        if searched.least is None:
            searched.least = least_charged(network)
        return effort_of(searched.least.bound) < milli and self.effort(factor) < milli

    def candidates(self, factor: float) -> dict[int, Candidate]:
        """The grips of the route, by the index of their notes."""
        charged = self._route(factor)
        if charged is None:
            return {}
        network = charged.network
        chosen = (column[k] for column, k in zip(network.columns, charged.path, strict=True))
        return dict(zip(network.places, chosen, strict=True))

    def _route(self, factor: float) -> Charged | None:
        searched = self._at(factor)
        if searched.charged is None and searched.network is not None:
            notes = self._tempos.at(factor).notes
            steady = self._solver.steadiness(notes, searched.links)
            searched.charged = charged_route(searched.network, steady, searched.least)
        return searched.charged

    def _at(self, factor: float) -> _Searched:
        """The trellises at a tempo, built once."""
        if factor not in self._searched:
            tempo, columns = self._tempos.at(factor), list[NoteColumn](self._columns)
            between = list(with_carried(tempo.links, self._carried))
            trellises = tuple(stretch_trellises(columns, self._builder, tempo.settings, between))
            network = charged_network(trellises, self._charging) if trellises else None
            self._searched[factor] = _Searched(tuple(between), network)
        return self._searched[factor]


def _least_milli(network: ConstrainedNetwork) -> int:
    """The effort of the least path, whatever that would be charged for."""
    return effort_of(min(forward(network.nodes, network.blocks)[-1]))
