"""Pairs the model knows, as JSON and back."""

import json

import pytest

from gripway.model.grip import Grip
from gripway.model.pair_survey import PairSurvey
from gripway.model.survey import Verdict

SURVEY = PairSurvey(
    {(72, 74): ((Grip.parse("L1 | Eb"), Grip.parse("L1 | Kd Eb")),)},
    {(74, Grip.parse("L1 | Kd Eb")): Verdict(1.0, -2.0, 3.0, None, 1.5)},
)


def test_what_is_kept_is_read_again() -> None:
    """Through JSON text and back, the same pairs and verdicts."""
    assert PairSurvey.of_data(json.loads(json.dumps(SURVEY.data()))) == SURVEY


@pytest.mark.parametrize(
    "change", [{"version": 0}, {"pairs": [[72, 74, [[1]]]]}, {"verdicts": [[74]]}, {"pairs": None}]
)
def test_a_foreign_object_is_refused(change: dict[str, object]) -> None:
    """Another version or a broken list raises what the cache takes for not its own."""
    with pytest.raises((ValueError, TypeError, KeyError)):
        PairSurvey.of_data(SURVEY.data() | change)
