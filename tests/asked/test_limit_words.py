"""Limits in plain words: each form is understood, everything else is refused with its place."""

import pytest
from tests.every import every

from gripway.asked.limit_words import parse_limits
from gripway.asked.limits import Limits, Thumb
from gripway.errors import RequestError
from gripway.model.rule import Span

UNDERSTOOD = {
    "same figure same grip": Limits(same_figure=True),
    "at most 3 unusual grips": Limits(unusual=3),
    "At most 1 unusual grip": Limits(unusual=1),
    "no unusual grips": Limits(unusual=0),
    "learn at most 2 grips": Limits(learnt=2),
    "learn 2 new grips": Limits(learnt=2),
    "tuning within 120.5 cents": Limits(tuning_cents=120.5),
    "no note over 15 cents": Limits(worst_cents=15.0),
    "thumb stays": Limits(thumb=(Thumb(),)),
    "at most one unusual grip": Limits(unusual=1),
    "learn one grip": Limits(learnt=1),
    "thumb stays in bars 12-20": Limits(thumb=(Thumb(Span(True, "12", "20")),)),
    "the thumb stays in bar 12": Limits(thumb=(Thumb(Span(True, "12", "12")),)),
    "thumb stays in notes 3 - 9": Limits(thumb=(Thumb(Span(False, "3", "9")),)),
    "no note over 15 cents; learn 2 grips": Limits(worst_cents=15.0, learnt=2),
}


@every(UNDERSTOOD)
def test_each_form_is_understood(words: str) -> None:
    """The words give the limit."""
    assert parse_limits([words]) == UNDERSTOOD[words]


@pytest.mark.parametrize("words", [words for words in UNDERSTOOD if ";" not in words])
def test_the_words_of_a_limit_read_as_that_limit(words: str) -> None:
    """What an answer repeats can be asked for again."""
    limits = UNDERSTOOD[words]
    assert parse_limits(limits.words().values()) == limits


REFUSED = {
    "at most few unusual grips": "not a number of grips",
    "at most 1.5 unusual grips": "not a number of grips",
    "at most -1 unusual grips": "-1 is no limit",
    "learn at most -2 grips": "-2 is no limit",
    "tuning within -3 cents": "-3 is no limit",
    "tuning within inf cents": "not a number of cents",
    "no note over ten cents": "not a number of cents",
    "thumb stays in notes a-b": "notes go by their numbers",
    "fewer grips please": "not understood",
    "": "empty",
    "no unusual grips; at most 2 unusual grips": "limited twice",
    "tuning within 3 cents, tuning within 4 cents": "limited twice",
}


@pytest.mark.parametrize("words", REFUSED)
def test_anything_else_is_refused_with_what_is_wrong(words: str) -> None:
    """Each refusal says what, and has a place and a next step."""
    with pytest.raises(RequestError, match=REFUSED[words]) as caught:
        parse_limits([words])
    assert caught.value.place
    assert caught.value.next_step


def test_no_time_is_refused() -> None:
    """A search needs more than no time, and an hour is enough."""
    for seconds in (0.0, -1.0, 4000.0, float("nan")):
        with pytest.raises(RequestError, match="no time to search"):
            Limits(unusual=1, seconds=seconds)


def test_limits_are_true_when_something_is_asked() -> None:
    """Nothing asked is false; a limit of zero is a limit."""
    assert not Limits()
    assert Limits(unusual=0)
    assert Limits(tuning_cents=0.0)
