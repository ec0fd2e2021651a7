"""Base and finger weights from trills: recovered within their stated spreads."""

from collections.abc import Mapping

import numpy as np
import pytest

from gripway.candidates.candidates import Candidates
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.catalog.tables.times_figures import times_figures
from gripway.effort.change_time import ChangeTimes
from gripway.listening.student_t import student_95
from gripway.listening.times.finger_pairs import FingerPair, finger_pairs
from gripway.listening.times.own_fit import FingerFit, PairTakes, fitted_fingers, noise_share
from gripway.tasks.flute_knowledge import knowledge_of
from gripway.tasks.flutes import flute
from gripway.tasks.own.finger_times import HIGHEST, LOWEST, pairs_to_record

FIGURES, TABLES = times_figures(), effort_tables()
BASE_MS, WEIGHTS = TABLES.figures.base_ms, TABLES.finger_weight
CARD = pairs_to_record()
RUNS = 200


def takes_of(
    base_ms: float, weights: Mapping[str, float], chance: np.random.Generator, law: float = 1.0
) -> list[PairTakes]:
    """Three takes of each pair of the card by a player who keeps the law up to its stated error."""
    takes = []
    for pair in CARD:
        off = law * chance.normal(0.0, noise_share(pair.addends, 1, FIGURES, 0.0))
        true_ms = base_ms * pair.factor * max(weights[finger] for finger in pair.fingers)
        spread = FIGURES.take_share
        takes.append(
            PairTakes(
                pair, tuple(true_ms * float(np.exp(off + chance.normal(0.0, spread))) for _ in range(3))
            )
        )
    return takes


def player(chance: np.random.Generator) -> tuple[float, dict[str, float]]:
    """A player as far from the tables as the figures say players are."""
    base_ms = BASE_MS * float(np.exp(chance.normal(0.0, FIGURES.base_prior_share)))
    spread = FIGURES.weight_prior_share
    return base_ms, {f: w * float(np.exp(chance.normal(0.0, spread))) for f, w in WEIGHTS.items()}


def test_two_hundred_players_lie_within_their_stated_spreads() -> None:
    """Nine-tenths ranges hold 88 to 96 in 100 of the true values, 95% intervals 92.5 to 98.5."""
    chance = np.random.default_rng(17)
    inside, inside_95 = [], []
    for _ in range(RUNS):
        base_ms, weights = player(chance)
        fit = fitted_fingers(takes_of(base_ms, weights, chance), BASE_MS, WEIGHTS, FIGURES)
        inside.append(abs(fit.base_ms - base_ms) <= fit.base_spread_ms)
        for finger, weight in weights.items():
            inside.append(abs(fit.weights[finger] - weight) <= fit.spreads[finger])
            reach = student_95(fit.freedom, 0.975) * fit.deviations[finger]
            inside_95.append(abs(np.log(fit.weights[finger] / weight)) <= reach)
    assert 0.88 <= np.mean(inside) <= 0.96
    assert 0.925 <= np.mean(inside_95) <= 0.985


def test_a_player_like_the_tables_gets_the_tables() -> None:
    """Times of the tables themselves, without any error, give base and weights of the tables back."""
    takes = [
        PairTakes(pair, (BASE_MS * pair.factor * max(WEIGHTS[f] for f in pair.fingers),) * 3) for pair in CARD
    ]
    fit = fitted_fingers(takes, BASE_MS, WEIGHTS, FIGURES)
    assert fit.base_ms == pytest.approx(BASE_MS)
    assert dict(fit.weights) == pytest.approx(dict(WEIGHTS))
    assert (fit.error_share, fit.tables_error_share, fit.widened) == pytest.approx((0.0, 0.0, 1.0), abs=1e-9)


def test_a_finger_nobody_heard_keeps_the_weight_of_the_tables() -> None:
    """Only pairs of the right hand: the left fingers keep their weights and a wider spread."""
    takes = takes_of(90.0, {**WEIGHTS, "R2": 1.3}, np.random.default_rng(2), 0.0)
    takes = [each for each in takes if all(finger.startswith("R") for finger in each.pair.fingers)]
    fit = fitted_fingers(takes, BASE_MS, WEIGHTS, FIGURES)
    assert fit.weights["L2"] == pytest.approx(WEIGHTS["L2"])
    assert fit.spreads["L2"] / fit.weights["L2"] > fit.spreads["R2"] / fit.weights["R2"]


def test_own_times_tell_left_out_pairs_better_than_the_tables() -> None:
    """A player 20% slower than the tables: the error of pairs left out is below that of the tables."""
    fit = fitted_fingers(
        takes_of(1.2 * BASE_MS, WEIGHTS, np.random.default_rng(3)), BASE_MS, WEIGHTS, FIGURES
    )
    assert fit.error_share < 0.08 < fit.tables_error_share
    assert len(fit.left_out) == len(CARD)


def test_pairs_that_break_the_law_widen_the_spreads() -> None:
    """Where pairs scatter four times as far as the law and the takes allow, the spreads say so."""

    def wild(law: float) -> FingerFit:
        chance = np.random.default_rng(5)
        return fitted_fingers(takes_of(BASE_MS, WEIGHTS, chance, law), BASE_MS, WEIGHTS, FIGURES)

    assert wild(0.0).widened == 1.0
    assert wild(12.0).widened > 1.2


def test_quantiles_of_student() -> None:
    """Against the printed table (Abramowitz & Stegun, table 26.10): 1.812 for 10, 1.697 for 30 degrees."""
    assert student_95(10.0) == pytest.approx(1.812, abs=0.002)
    assert student_95(30.0) == pytest.approx(1.697, abs=0.001)


def test_the_card_moves_every_finger_and_begins_with_single_ones() -> None:
    """Twelve pairs, all nine fingers, the first nine of one finger each."""
    assert len(CARD) == FIGURES.asked_pairs
    assert {finger for pair in CARD for finger in pair.fingers} == set(WEIGHTS)
    assert len({pair.fingers for pair in CARD[:9]}) == 9


def test_the_design_tells_more_than_pairs_by_chance() -> None:
    """The mean spread of the weights by the card is below that by any of ten random dozens."""
    knowledge = knowledge_of(flute())
    times = ChangeTimes(TABLES.figures, WEIGHTS)
    every = finger_pairs(LOWEST, HIGHEST, Candidates(knowledge), times)
    chance = np.random.default_rng(4)

    def mean_spread(pairs: list[FingerPair]) -> float:
        takes = [PairTakes(pair, (100.0,) * 3) for pair in pairs]
        fit = fitted_fingers(takes, BASE_MS, WEIGHTS, FIGURES)
        return float(np.mean(list(fit.deviations.values()))) / fit.widened

    dozens = [[every[k] for k in chance.choice(len(every), 12, replace=False)] for _ in range(10)]
    assert mean_spread(list(CARD)) < min(map(mean_spread, dozens))
