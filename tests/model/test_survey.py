"""A survey as plain values: written as JSON and read again it is the same; anything else is refused."""

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.tiers import examples

from gripway.model.grip import TOUCHES, Grip
from gripway.model.survey import SURVEY_VERSION, Sounds, Survey, Verdict

FINITE = st.floats(allow_nan=False, allow_infinity=False)
GRIPS = st.sets(st.sampled_from(TOUCHES)).map(Grip.of)
KEYS = st.tuples(st.integers(59, 100), GRIPS)
VERDICTS = st.builds(Verdict, FINITE, FINITE, FINITE, st.none() | FINITE, FINITE)
BITS = st.dictionaries(st.integers(0, 2**20), st.tuples(*[st.integers(0, 2**128)] * 2))
SURVEYS = st.builds(
    Survey,
    st.dictionaries(KEYS, VERDICTS),
    st.dictionaries(KEYS, st.lists(GRIPS).map(tuple)),
    st.dictionaries(KEYS, st.tuples(st.text(), st.text())),
    BITS.map(lambda bits: Sounds({p: a for p, (a, _) in bits.items()}, {p: b for p, (_, b) in bits.items()})),
)
EMPTY: dict[str, Any] = {
    "version": SURVEY_VERSION, "verdicts": [], "free": [], "lineages": [],
    "sounds": {"steps": [], "near": [], "far": []}
}  # fmt: skip


@settings(max_examples=examples(30))
@given(SURVEYS)
def test_a_survey_comes_back_from_json(survey: Survey) -> None:
    """Every verdict, free grip, lineage and sound is there again, to the last digit."""
    assert Survey.of_data(json.loads(json.dumps(survey.data(), allow_nan=False))) == survey


def test_an_empty_survey_is_one() -> None:
    """Nothing said of any grip."""
    assert Survey.of_data(EMPTY) == Survey({}, {})
    assert Survey({}, {}).data() == EMPTY


@pytest.mark.parametrize("version", [SURVEY_VERSION - 1, SURVEY_VERSION + 1, str(SURVEY_VERSION), None])
def test_another_version_is_refused(version: object) -> None:
    """What an older or newer gripway kept may mean something else."""
    with pytest.raises(ValueError, match="another version"):
        Survey.of_data(EMPTY | {"version": version})


@pytest.mark.parametrize("key", EMPTY)
def test_a_survey_without_a_part_is_refused(key: str) -> None:
    """Each key must be there."""
    with pytest.raises(KeyError, match=key):
        Survey.of_data({name: value for name, value in EMPTY.items() if name != key})


@pytest.mark.parametrize(
    "change",
    [
        {"verdicts": [[60, 1]]},
        {"verdicts": [["C4", 1, 0, 0, 0, None, 1]]},
        {"verdicts": 7},
        {"free": [[60, 1]]},
        {"lineages": [[60, 1, "C4 x2"]]},
        {"sounds": {"steps": [1], "near": [1], "far": []}},
        {"sounds": {"steps": ["x"], "near": [1], "far": [1]}},
    ],
)
def test_what_is_no_survey_is_refused(change: dict[str, Any]) -> None:
    """Rows too short, words for numbers, a number for a list: ValueError or TypeError, as promised."""
    with pytest.raises((ValueError, TypeError)):
        Survey.of_data(EMPTY | change)
