"""How steady a choice is: whether it still pays when the judged figures of the tables are shaken."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from gripway.charges.charging import charge_of, return_charge_of
from gripway.effort.candidate import Candidate
from gripway.effort.costs import EffortModel
from gripway.effort.hand_support import support
from gripway.effort.ledger import MILLI
from gripway.effort.setting import Link, Setting, link_into, setting_of
from gripway.effort.shaken_figures import shaken
from gripway.model.passage import Note
from gripway.trellis.constrained_network import ConstrainedNetwork


class ShakenModels:
    """The effort models of one player under shaken tables, made once and kept."""

    def __init__(self, model: EffortModel) -> None:
        self.model = model

    @cached_property
    def models(self) -> tuple[EffortModel, ...]:
        """A model for every draw."""
        shaking = self.model.tables.shaking
        return tuple(
            self.model.with_tables(shaken(self.model.tables, draw, shaking.shake_share))
            for draw in range(shaking.shake_draws)
        )


class _Links(dict[int, Link]):
    """The links into the notes of a passage under shaken tables, each made when it is first asked for."""

    def __init__(self, notes: tuple[Note, ...], between: Sequence[Link], model: EffortModel) -> None:
        self.notes, self.between, self.figures = notes, between, model.tables.figures

    def __missing__(self, place: int) -> Link:
        plain, carried = link_into(self.notes, place, self.figures), self.between[place]
        link = self[place] = replace(plain, fresh=carried.fresh, kept=carried.kept)
        return link


@dataclass(frozen=True, slots=True)
class Pays:
    """In what share of the shaken tables a new grip pays, and whether it is steady enough to be named."""

    share: float
    steady: bool


class Steadiness:
    """Compares two paths of one passage under the shaken tables."""

    def __init__(self, shaken_models: ShakenModels, notes: tuple[Note, ...], between: Sequence[Link]) -> None:
        self._shaken_models = shaken_models
        self.shaking = shaken_models.model.tables.shaking
        self.notes = notes
        self.between = between
        self._links: dict[int, _Links] = {}
        self._settings: dict[tuple[int, int], Setting] = {}
        self._candidates: dict[tuple[int, int], tuple[Candidate, Candidate]] = {}  # keeps the ids in use
        self._costs: dict[tuple[object, ...], int] = {}

    @cached_property
    def models(self) -> tuple[EffortModel, ...]:
        """The models of the draws, made when a grip to learn is first looked at."""
        return self._shaken_models.models

    def __call__(self, network: ConstrainedNetwork, one: Sequence[int], other: Sequence[int]) -> Pays:
        """Whether path `one` is worth a new grip that path `other` goes without."""
        saved = self._saved(network, one, other)
        share = sum(each > 0 for each in saved) / len(saved)
        spare = self.shaking.steady_margin_factor - 1.0  # the charge itself is in what is saved
        firm = sum(saved) / len(saved) >= spare * network.charge_milli
        return Pays(share, firm and share >= self.shaking.steady_least_share)

    def _saved(self, network: ConstrainedNetwork, one: Sequence[int], other: Sequence[int]) -> list[int]:
        """Thousandths that path `one` takes less than path `other` in each draw, all charges included."""
        differ = [p for p, (a, b) in enumerate(zip(one, other, strict=True)) if a != b]
        learnt = len(network.learnt(other)) - len(network.learnt(one))
        changed = len(network.changed(other)) - len(network.changed(one))
        saved = []
        for draw, model in enumerate(self.models):
            charges = learnt * charge_of(len(self.notes), model) + changed * return_charge_of(model)
            saved.append(charges + self._less(draw, network, differ, one, other))
        return saved

    def _less(
        self,
        draw: int,
        network: ConstrainedNetwork,
        differ: Sequence[int],
        one: Sequence[int],
        other: Sequence[int],
    ) -> int:
        """Thousandths that path `one` takes less than path `other` in one draw, charges left out."""
        model, between = self.models[draw], self._between(draw)
        total = sum(self._held(model, between, network, p, other[p]) for p in differ)
        total -= sum(self._held(model, between, network, p, one[p]) for p in differ)
        for p in sorted({*differ, *(q + 1 for q in differ)}):
            if 0 < p < len(one) and network.places[p] == network.places[p - 1] + 1:
                total += self._moved(model, between, network, p, other[p - 1], other[p])
                total -= self._moved(model, between, network, p, one[p - 1], one[p])
        return total

    def _between(self, draw: int) -> _Links:
        if draw not in self._links:
            self._links[draw] = _Links(self.notes, self.between, self.models[draw])
        return self._links[draw]

    def _held(self, model: EffortModel, between: _Links, network: ConstrainedNetwork, p: int, k: int) -> int:
        place, candidate = network.places[p], network.columns[p][k]
        setting_key = (id(model), place)
        if setting_key not in self._settings:
            self._settings[setting_key] = setting_of(self.notes, place, between, model.tables)
        key = (id(model), id(candidate), self._settings[setting_key])
        if key not in self._costs:
            held = model.holding(self._shaken(model, candidate), self._settings[setting_key])
            self._costs[key] = held.total if held is not None else self._barred(model)
        return self._costs[key]

    def _moved(
        self, model: EffortModel, between: _Links, network: ConstrainedNetwork, p: int, j: int, k: int
    ) -> int:
        before, after = network.columns[p - 1][j], network.columns[p][k]
        link = between[network.places[p]]
        key = (id(model), id(before), id(after), link)
        if key not in self._costs:
            step = model.step(self._shaken(model, before), self._shaken(model, after))
            moved = model.moving_total(step, link)
            self._costs[key] = moved if moved is not None else self._barred(model)
        return self._costs[key]

    @staticmethod
    def _barred(model: EffortModel) -> int:
        """What a grip or change costs that the tables as they stand allow and shaken ones do not."""
        return round(model.figures.load_most_effort * MILLI)

    def _shaken(self, model: EffortModel, candidate: Candidate) -> Candidate:
        """A candidate with the support that the shaken tables give it."""
        key = (id(model), id(candidate))
        if key not in self._candidates:
            sizes, little = model.tables.support, model.player.little_finger_supports
            held = support(candidate.grip, sizes, little_finger=little)
            self._candidates[key] = candidate, replace(candidate, support=held)
        return self._candidates[key][1]
