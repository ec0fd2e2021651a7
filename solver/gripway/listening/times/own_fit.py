"""A player's base time and finger weights from trills: ridge towards the tables, with spread.

What it measures: the logarithms of base and weights against the tables', as a linear model: a pair's time is
base x slowest finger x factor. Prior (the ridge): normal about the tables with the figures' deviations, so
that a finger nobody heard keeps the table's weight. Noise: takes of a pair differ (estimated from the takes,
with a few of the table's figure as a start), and the law itself is only nearly true, the less the more
addends. Spread: half of the nine-tenths range of the posterior, by Student's t with the takes' degrees of
freedom. Reference: Gelman et al., Bayesian Data Analysis, 3rd edition, chapter 14 (normal linear model).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

import numpy as np
from numpy.typing import NDArray

from gripway.catalog.tables.times_figures import TimesFigures
from gripway.listening.student_t import student_95
from gripway.listening.times.finger_pairs import FingerPair

Array = NDArray[np.float64]
PASSES = 8
"""Which finger of a pair is slowest is looked at anew so often."""


@dataclass(frozen=True, slots=True)
class PairTakes:
    """The takes of one pair: milliseconds a note of each."""

    pair: FingerPair
    note_ms: tuple[float, ...]

    @property
    def log_ms(self) -> float:
        """The mean of the takes' logarithms."""
        return sum(map(log, self.note_ms)) / len(self.note_ms)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A pair predicted by a fit without it: measured, predicted, and what the tables said (ms a note)."""

    pair: FingerPair
    measured_ms: float
    predicted_ms: float
    tables_ms: float


@dataclass(frozen=True, slots=True)
class FingerFit:
    """Base and weights of one player with their spreads (half of the nine-tenths range).

    `widened` is the factor by which the spreads were widened because the pairs fit the law less well than
    they should (1: they fit); `left_out` has each pair predicted without it.
    """

    base_ms: float
    base_spread_ms: float
    weights: Mapping[str, float]
    spreads: Mapping[str, float]
    deviations: Mapping[str, float]
    freedom: float
    widened: float
    take_share: float
    left_out: tuple[LeftOut, ...] = ()

    @property
    def error_share(self) -> float:
        """Root mean square of the relative errors of pairs left out."""
        return _rms([log(each.predicted_ms / each.measured_ms) for each in self.left_out])

    @property
    def tables_error_share(self) -> float:
        """The same of the tables' times, which know nothing of this player."""
        return _rms([log(each.tables_ms / each.measured_ms) for each in self.left_out])


def fitted_fingers(
    takes: Sequence[PairTakes], base_ms: float, weights: Mapping[str, float], figures: TimesFigures
) -> FingerFit:
    """Fit base and weights; `base_ms` and `weights` are the tables'."""
    whole = _Fit.of(takes, base_ms, weights, figures)
    left_out, squares = [], []
    for k, each in enumerate(takes):
        without = _Fit.of([*takes[:k], *takes[k + 1 :]], base_ms, weights, figures)
        predicted, deviation = without.predicted(each.pair)
        noise = without.noise(each)
        squares.append((each.log_ms - predicted) ** 2 / (deviation**2 + noise**2))
        tables_ms = base_ms * each.pair.factor * max(weights[finger] for finger in each.pair.fingers)
        left_out.append(LeftOut(each.pair, exp(each.log_ms), exp(predicted), tables_ms))
    return whole.answer(_widening(squares), tuple(left_out))


def _widening(squares: Sequence[float]) -> float:
    """1 where the squares of standardised errors are as they should be, else what makes them so.

    They are too large where their mean lies beyond what nineteen in twenty of such means reach.
    """
    if not squares:
        return 1.0
    mean = sum(squares) / len(squares)
    return sqrt(mean) if mean > 1.0 + 1.645 * sqrt(2.0 / len(squares)) else 1.0


def slowest(fingers: Sequence[str], weights: Mapping[str, float]) -> str:
    """The finger a pair waits for."""
    return max(fingers, key=lambda finger: weights[finger])


def design_row(pair: FingerPair, weights: Mapping[str, float]) -> Array:
    """What the logarithm of a pair's time has of base and weights, in their order, (1 + fingers,)."""
    row = np.zeros(1 + len(weights))
    row[0] = 1.0
    row[1 + list(weights).index(slowest(pair.fingers, weights))] = 1.0
    return row


def prior_precision(fingers: int, figures: TimesFigures) -> Array:
    """Precision of base and weights before anything is heard, (1 + fingers, 1 + fingers)."""
    return np.diag([figures.base_prior_share**-2, *[figures.weight_prior_share**-2] * fingers])


def noise_share(addends: float, takes: int, figures: TimesFigures, take_share: float | None = None) -> float:
    """Standard deviation of the logarithm of a pair's time about the law."""
    own = figures.take_share if take_share is None else take_share
    law = figures.law_share**2 + (figures.addend_share * addends / (1.0 + addends)) ** 2
    return sqrt(own**2 / max(1, takes) + law)


@dataclass(frozen=True, slots=True)
class _Fit:
    """The posterior: `mean` (1 + fingers,) of the logarithms against the tables, its `covariance`."""

    base_ms: float
    table: Mapping[str, float]
    mean: Array
    covariance: Array
    take_share: float
    freedom: float
    figures: TimesFigures

    @classmethod
    def of(
        cls, takes: Sequence[PairTakes], base_ms: float, weights: Mapping[str, float], figures: TimesFigures
    ) -> "_Fit":
        """The posterior of the takes."""
        share, freedom = _take_share(takes, figures)
        fingers = tuple(weights)
        mean: Array = np.zeros(1 + len(fingers))
        covariance: Array = np.asarray(
            np.linalg.inv(prior_precision(len(fingers), figures)), dtype=np.float64
        )
        for _ in range(PASSES if takes else 0):
            fit = cls(base_ms, weights, mean, covariance, share, freedom, figures)
            rows = np.array([design_row(each.pair, fit.weights) for each in takes])
            seen = np.array([each.log_ms - log(base_ms * each.pair.factor) for each in takes])
            seen -= np.array([log(weights[slowest(each.pair.fingers, fit.weights)]) for each in takes])
            noise = np.array([fit.noise(each) for each in takes])
            precision = prior_precision(len(fingers), figures) + (rows.T / noise**2) @ rows
            covariance = np.asarray(np.linalg.inv(precision), dtype=np.float64)
            mean = np.asarray(covariance @ (rows.T @ (seen / noise**2)), dtype=np.float64)
        return cls(base_ms, weights, mean, covariance, share, freedom, figures)

    @property
    def weights(self) -> dict[str, float]:
        """The weights of the mean."""
        return {
            finger: self.table[finger] * exp(off)
            for finger, off in zip(self.table, self.mean[1:], strict=True)
        }

    def noise(self, each: PairTakes) -> float:
        """Standard deviation of a pair's mean logarithm about the law."""
        return noise_share(each.pair.addends, len(each.note_ms), self.figures, self.take_share)

    def predicted(self, pair: FingerPair) -> tuple[float, float]:
        """The logarithm of a pair's time and the deviation of what is known of it."""
        row = design_row(pair, self.weights)
        finger = slowest(pair.fingers, self.weights)
        at = log(self.base_ms * pair.factor * self.table[finger]) + float(row @ self.mean)
        return at, sqrt(float(row @ self.covariance @ row))

    def answer(self, widened: float, left_out: tuple[LeftOut, ...]) -> FingerFit:
        """The fit in milliseconds and weights."""
        deviations = np.sqrt(np.diag(self.covariance)) * widened
        reach = student_95(self.freedom)
        base_ms = self.base_ms * exp(self.mean[0])
        weights = self.weights
        return FingerFit(
            base_ms=base_ms,
            base_spread_ms=base_ms * reach * float(deviations[0]),
            weights=weights,
            spreads={f: weights[f] * reach * float(d) for f, d in zip(weights, deviations[1:], strict=True)},
            deviations=dict(zip(weights, map(float, deviations[1:]), strict=True)),
            freedom=self.freedom,
            widened=widened,
            take_share=self.take_share,
            left_out=left_out,
        )


def _take_share(takes: Sequence[PairTakes], figures: TimesFigures) -> tuple[float, float]:
    """How far takes of a pair differ (standard deviation of logarithms), and the degrees of freedom."""
    squares, freedom = 0.0, 0
    for each in takes:
        squares += sum((log(ms) - each.log_ms) ** 2 for ms in each.note_ms)
        freedom += len(each.note_ms) - 1
    weight = figures.take_weight_takes
    return sqrt((weight * figures.take_share**2 + squares) / (weight + freedom)), weight + freedom


def _rms(values: Sequence[float]) -> float:
    return sqrt(sum(value * value for value in values) / len(values)) if values else 0.0
