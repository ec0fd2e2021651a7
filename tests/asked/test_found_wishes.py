"""Wishes in plain words: what they mean, and what is refused with its reason."""

import pytest
from tests.every import every

from gripway.asked.found_wishes import NO_WISHES, FoundWishes, parse_wishes
from gripway.errors import RequestError
from gripway.model.grip import Grip


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("keep R2 R3", FoundWishes(keep=Grip.of(["R2", "R3"]))),
        ("without Kd Kds", FoundWishes(without=Grip.of(["Kd", "Kds"]))),
        ("no Sb", FoundWishes(without=Grip.of(["Sb"]))),
        ("no trill keys", FoundWishes(without=Grip.of(["Kd", "Kds", "Kcs"]))),
        ("without trill keys", FoundWishes(without=Grip.of(["Kd", "Kds", "Kcs"]))),
        ("within 10 cents", FoundWishes(within_cents=10.0)),
        ("within 7.5 cents", FoundWishes(within_cents=7.5)),
        ("one finger from T L1 L3 | R3 Eb", FoundWishes(origin=Grip.parse("T L1 L3 | R3 Eb"))),
        ("two fingers from L1 | Eb", FoundWishes(origin=Grip.parse("L1 | Eb"), fingers=2)),
        ("  Keep   r2  ", FoundWishes(keep=Grip.of(["R2"]))),
    ],
)
def test_a_wish_is_understood(text: str, expected: FoundWishes) -> None:
    """Each kind of wish, in any letter case and spacing."""
    assert parse_wishes([text]) == expected


def test_wishes_add_up() -> None:
    """Several texts, or one with commas and semicolons, are one set of wishes."""
    texts = ["keep R2", "keep R3", "within 10 cents", "no trill keys"]
    assert parse_wishes(texts) == parse_wishes(["keep R2, keep R3; within 10 cents", "no trill keys"])
    assert parse_wishes(texts).keep == Grip.of(["R2", "R3"])


def test_no_text_is_no_wish() -> None:
    """Without a text nothing is asked."""
    assert parse_wishes([]) == NO_WISHES


@every(
    [
        (["please R2"], "'please R2' is not understood"),
        (["keep"], "'keep' is not understood"),
        ([""], "a wish is empty"),
        (["keep R2,,no Sb"], "a wish is empty"),
        (["keep R9"], "'R9' is not a touch"),
        (["without everything"], "'everything' is not a touch"),
        (["one finger from the B-flat"], "is not a touch"),
        (["within ten cents"], "'ten' is not a number of cents"),
        (["within nan cents"], "no window"),
        (["within inf cents"], "no window"),
        (["within 0 cents"], "no window"),
        (["within -5 cents"], "no window"),
        (["within 61 cents"], "no window"),
        (["within 10 cents", "within 20 cents"], "two windows"),
        (["one finger from L1 | Eb", "one finger from T L1 | Eb"], "two grips to start from"),
        (["keep R2 R3", "without R3"], "R3 cannot be kept and left out at once"),
    ]
)
def test_a_bad_wish_is_refused_with_its_reason(texts: list[str], reason: str) -> None:
    """The error says what is wrong and what to ask instead."""
    with pytest.raises(RequestError) as caught:
        parse_wishes(texts)
    assert reason in str(caught.value)
    assert caught.value.next_step
