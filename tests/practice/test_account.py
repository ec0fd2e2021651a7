"""The rules of the plan, counted over real music."""

from pathlib import Path

import pytest
from tests.practice.account import BUDGETS, faults_of, stretches
from tests.tiers import thinned

from gripway.model.passage import Passage
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise

DATA = Path(__file__).parents[1] / "data"


@pytest.fixture(scope="module")
def passages() -> list[Passage]:
    """The bars with most fast notes of the third octave, of two parts."""
    scores = ("boulanger_matin_flute.musicxml", "schubert_d485_flute.musicxml")
    return [passage for score in scores for _, passage in stretches(DATA / score, 1)]


@pytest.mark.parametrize(("minutes", "days"), thinned(BUDGETS, len(BUDGETS)))
def test_real_passages_have_plans_that_keep_every_rule(
    passages: list[Passage], minutes: int, days: int
) -> None:
    """Time, notches, rests, order, the passage every day, one page: for every budget none is broken.

    But that an hour a day of some twenty bars may not be filled: the account counts such days.
    """
    for passage in passages:
        plan = practise(passage, flute(), time=PracticeTime(minutes, days))
        assert plan.days
        assert [fault for fault in faults_of(plan) if minutes < 60 or fault.rule != "the day is used"] == []
