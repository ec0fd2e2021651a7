"""All takes of one player put together: what each pair and each scale says, what was refused, and the fit."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gripway.catalog.tables.times_figures import TimesFigures
from gripway.listening.times.finger_pairs import FingerPair
from gripway.listening.times.line_tempo import LineFit, ScaleLimit, ScaleTake
from gripway.listening.times.own_fit import FingerFit, PairTakes
from gripway.listening.times.take_names import ScaleRun
from gripway.listening.times.trill_rate import TrillRate
from gripway.model.player import OwnTimes


@dataclass(frozen=True, slots=True)
class HeardTrill:
    """A take of a pair, by the name of its file."""

    source: str
    pair: FingerPair
    rate: TrillRate


@dataclass(frozen=True, slots=True)
class HeardScale:
    """A take of a scale, by the name of its file."""

    source: str
    run: ScaleRun
    take: ScaleTake


@dataclass(frozen=True, slots=True)
class Refused:
    """A take that does not count: where (file and time in it), why, and what to do."""

    place: str
    what: str
    next_step: str


@dataclass(frozen=True, slots=True)
class HeardTimes:
    """What a player's recordings say of the fingers.

    `trills` and `scales` are the takes that count, `refused` the others; `pairs` the takes by pair; `fit` is
    None without any trill, `limits` has each scale's limit, `line` is None where none was reached. `counts`
    says whether there are enough for the route; `asked` are the pairs of the card, `missing` those not heard.
    """

    date: str
    trills: tuple[HeardTrill, ...]
    scales: tuple[HeardScale, ...]
    refused: tuple[Refused, ...]
    pairs: tuple[PairTakes, ...]
    fit: FingerFit | None
    tables_base_ms: float
    tables_weights: Mapping[str, float]
    limits: tuple[ScaleLimit, ...]
    line: LineFit | None
    asked: tuple[FingerPair, ...]
    figures: TimesFigures

    @property
    def takes(self) -> int:
        """Trills that count."""
        return len(self.trills)

    @property
    def counts(self) -> bool:
        """Whether the route goes by them."""
        return len(self.pairs) >= self.figures.least_pairs and self.takes >= self.figures.least_takes

    @property
    def missing(self) -> tuple[FingerPair, ...]:
        """Pairs of the card of which no take counts."""
        heard = {(each.pair.low, each.pair.high) for each in self.pairs}
        return tuple(pair for pair in self.asked if (pair.low, pair.high) not in heard)

    @property
    def own_times(self) -> OwnTimes | None:
        """What is written into the player's file, None without a trill."""
        if self.fit is None:
            return None
        return OwnTimes(
            date=self.date,
            pairs=len(self.pairs),
            takes=self.takes,
            base_ms=round(self.fit.base_ms, 1),
            base_spread_ms=round(self.fit.base_spread_ms, 1),
            weights=tuple((finger, round(weight, 3)) for finger, weight in self.fit.weights.items()),
            spreads=tuple((finger, round(spread, 3)) for finger, spread in self.fit.spreads.items()),
            line_factor=round(self.line.factor, 3) if self.line else None,
            line_spread=round(self.line.spread, 3) if self.line else None,
        )


def by_pair(trills: Sequence[HeardTrill]) -> tuple[PairTakes, ...]:
    """The takes of each pair, in the order of the pairs' notes."""
    pairs = {(each.pair.low, each.pair.high): each.pair for each in trills}
    return tuple(
        PairTakes(pair, tuple(each.rate.note_ms for each in trills if each.pair == pair))
        for _, pair in sorted(pairs.items())
    )
