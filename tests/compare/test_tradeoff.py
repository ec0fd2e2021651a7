"""The trade-off: where the normal answer lies on the front, and how far off."""

import pytest
from hypothesis import given, settings
from tests.compare.test_front import line
from tests.oracles.flutes import fresh_solver, solver_of
from tests.oracles.passages import passages
from tests.tiers import examples

from gripway.compare.tradeoff import Tradeoff, tradeoff_of
from gripway.compare.two_costs import axes_of
from gripway.model.passage import Passage
from gripway.model.player import Player
from gripway.route.joined import joined
from gripway.route.solve import Solver


def trade(passage: Passage, solver: Solver, *, every_point: bool) -> Tradeoff:
    """The trade-off of a passage."""
    ground = solver.ground(passage)
    whole = joined(ground)
    return tradeoff_of(whole, axes_of(passage, ground, whole), every_point=every_point)


@settings(max_examples=examples(40), deadline=None)
@given(passages(least=2, most=8, lowest=69, highest=96))
def test_the_normal_answer_is_on_the_whole_front_or_off_it(passage: Passage) -> None:
    """On it, it is a point with its own grips; off it, some point saves effort or cents or both."""
    found = trade(passage, solver_of(), every_point=True)
    yours = (found.yours.effort, found.yours.cents)
    beaten = [p for p in found.points if p.effort <= yours[0] and p.cents <= yours[1]]
    if found.yours_at is not None:
        point = found.points[found.yours_at]
        assert (point.effort, point.cents) == yours
        assert point.candidates == found.yours.candidates
        assert found.off == (0, 0)
    else:
        assert beaten
        assert found.off[0] == pytest.approx(max(yours[0] - p.effort for p in beaten))
        assert found.off[1] == pytest.approx(max(yours[1] - p.cents for p in beaten))
        assert max(found.off) > 0


def test_with_tuning_off_the_answer_has_the_least_effort_there_is() -> None:
    """What tuning costs left out, nobody can have less effort than the answer with that dial at 0."""
    found = trade(line(30), fresh_solver(player=Player(dials=(("tuning", 0.0),))), every_point=False)
    assert found.yours.effort == found.points[0].effort
