"""How steady a choice is: whether it still pays when the judged figures of the tables are shaken."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI
from gripway.effort.model import EffortModel
from gripway.effort.setting import Link, Setting, links, setting_of
from gripway.effort.shaking import shaken
from gripway.effort.steadiness import support
from gripway.model.passage import Note
from gripway.route.charged_puzzle import charge_of, return_charge_of
from gripway.route.puzzle import Puzzle


class ShakenModels:
    """The effort models of one player under shaken tables, made once and kept."""

    def __init__(self, model: EffortModel) -> None:
        self.model = model

    @cached_property
    def models(self) -> tuple[EffortModel, ...]:
        """A model for every draw."""
        figures = self.model.tables.figures
        return tuple(
            self.model.with_tables(shaken(self.model.tables, draw, figures.shake_share))
            for draw in range(int(figures.shake_draws))
        )


class Steadiness:
    """Compares two paths of one passage under the shaken tables."""

    def __init__(self, shaken_models: ShakenModels, notes: tuple[Note, ...], between: Sequence[Link]) -> None:
        self.models = shaken_models.models
        self.notes = notes
        self.fresh = [link.fresh for link in between]
        self.kept = [link.kept for link in between]
        self._links: dict[int, tuple[Link, ...]] = {}

    def __call__(self, puzzle: Puzzle, one: Sequence[int], other: Sequence[int]) -> float:
        """Share of the draws in which path `one` costs less than path `other`, all charges included."""
        wins = sum(self._less(draw, puzzle, one, other) for draw in range(len(self.models)))
        return wins / len(self.models)

    def _less(self, draw: int, puzzle: Puzzle, one: Sequence[int], other: Sequence[int]) -> bool:
        model = self.models[draw]
        between = self._between(draw)
        differ = [p for p, (a, b) in enumerate(zip(one, other, strict=True)) if a != b]
        total = sum(self._held(model, between, puzzle, p, other[p]) for p in differ)
        total -= sum(self._held(model, between, puzzle, p, one[p]) for p in differ)
        for p in sorted({*differ, *(q + 1 for q in differ)}):
            if 0 < p < len(one) and puzzle.places[p] == puzzle.places[p - 1] + 1:
                total += self._moved(model, between, puzzle, p, other[p - 1], other[p])
                total -= self._moved(model, between, puzzle, p, one[p - 1], one[p])
        shaken_puzzle = replace(
            puzzle,
            charge_milli=charge_of(len(self.notes), model),
            return_milli=return_charge_of(model),
        )
        total += shaken_puzzle.charges_milli(other) - shaken_puzzle.charges_milli(one)
        return total > 0

    def _between(self, draw: int) -> tuple[Link, ...]:
        if draw not in self._links:
            plain = links(self.notes, self.models[draw].tables.figures)
            self._links[draw] = tuple(
                replace(link, fresh=fresh, kept=kept)
                for link, fresh, kept in zip(plain, self.fresh, self.kept, strict=True)
            )
        return self._links[draw]

    def _held(self, model: EffortModel, between: tuple[Link, ...], puzzle: Puzzle, p: int, k: int) -> int:
        setting: Setting = setting_of(self.notes, puzzle.places[p], between, model.tables)
        held = model.holding(self._shaken(model, puzzle.columns[p][k]), setting)
        return held.total if held is not None else round(model.tables.figures.load_most * MILLI)

    def _moved(
        self, model: EffortModel, between: tuple[Link, ...], puzzle: Puzzle, p: int, j: int, k: int
    ) -> int:
        before, after = (self._shaken(model, puzzle.columns[q][n]) for q, n in ((p - 1, j), (p, k)))
        moved = model.moving_total(model.step(before, after), between[puzzle.places[p]])
        return moved if moved is not None else round(model.tables.figures.load_most * MILLI)

    def _shaken(self, model: EffortModel, candidate: Candidate) -> Candidate:
        """A candidate with the support that the shaken tables give it."""
        sizes = model.tables.support
        return replace(
            candidate,
            support=support(candidate.grip, sizes, little_finger=model.player.little_finger_supports),
        )
