"""Requests are read strictly: what is not known, not of its kind or too much is refused with its place."""

from typing import Any

import pytest
from tests.web.pages import ask, error_of, opened

from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.web.asking import asked_of
from gripway.web.size_limits import MOST_BANS, MOST_PINS

PIN = {"note": "P1-n1", "grip": "T L2 L3 | Eb"}


@pytest.mark.parametrize(
    ("wishes", "place"),
    [
        ({"tempi": 3}, "tempi"),
        ([], "wishes"),
        ("all", "wishes"),
        ({"tempo": "fast"}, "tempo"),
        ({"tempo": True}, "tempo"),
        ({"tempo": 501}, "tempo"),
        ({"tempo": 1e308}, "tempo"),
        ({"tempo": 10**400}, "tempo"),
        ({"dials": {"speed": -(10**400)}}, "dials"),
        ({"bars": 12}, "bars"),
        ({"bars": "1" * 201}, "bars"),
        ({"part": ["1"]}, "part"),
        ({"dials": {"speed": 5}}, "dials"),
        ({"dials": {"colour": 1}}, "dials"),
        ({"dials": [1]}, "dials"),
        ({"pins": [{"note": 3, "grip": "T |"}]}, "pins"),
        ({"pins": [{"note": "<img>", "grip": "T |"}]}, "pins"),
        ({"pins": [{**PIN, "more": 1}]}, "pins"),
        ({"pins": [{"note": "P1-n1", "grip": "X Y"}]}, "pins"),
        ({"pins": [PIN] * (MOST_PINS + 1)}, "pins"),
        ({"bans": [{"kind": "standard"}]}, "bans"),
        ({"bans": [{"kind": "trill", "pitch": "E6"}]}, "bans"),
        ({"bans": [{"pitch": "H6", "grip": "T |"}]}, "bans"),
        ({"bans": [{"pitch": "E6", "grip": None}]}, "bans"),
        ({"bans": [{"kind": "trill"}] * (MOST_BANS + 1)}, "bans"),
        ({"choose": "best"}, "choose"),
        ({"keep_fingerings": "yes"}, "keep_fingerings"),
        ({"learn": -1}, "learn"),
        ({"learn": 1.5}, "learn"),
        ({"learn": True}, "learn"),
        ({"learn": 100}, "learn"),
        ({"parts": "b-foot"}, "parts"),
        ({"limits": [3]}, "limits"),
        ({"limits": ["no"] * 21}, "limits"),
        ({"limits": ["be nice"]}, "--limit"),
    ],
)
def test_what_is_wrong_is_refused_with_its_place(wishes: Any, place: str) -> None:
    """Unknown keys, wrong kinds, values out of range and lists too long name the key."""
    with pytest.raises(RequestError) as refused:
        asked_of(wishes)
    assert refused.value.place.startswith(place)


def test_wishes_are_one_value() -> None:
    """Equal wishes are equal, in whatever order they are said."""
    one = asked_of({"dials": {"speed": 2, "tuning": 0.5}, "parts": ["split-e", "b-foot"], "pins": [PIN]})
    other = asked_of(
        {"pins": [dict(PIN)], "parts": ["b-foot", "split-e"], "dials": {"tuning": 0.5, "speed": 2}}
    )
    assert one == other
    assert hash(one) == hash(other)
    assert one.pins_in(frozenset({"P1-n1"}))[0].grip == Grip.parse("T L2 L3 | Eb")
    assert one.pins_in(frozenset({"P1-n2"})) == ()


@pytest.mark.parametrize(
    ("task", "body"),
    [
        ("route", {"wishes": {}, "sense": 1}),
        ("note", {"wishes": {}, "index": 99}),
        ("note", {"wishes": {}, "index": "0"}),
        ("note", {"wishes": {}, "index": True}),
        ("note", {"wishes": {}, "index": -1}),
        ("engraving", {"wishes": {}, "width_mm": "wide"}),
        ("route", {"wishes": {"bars": "9-3"}}),
        ("route", {"wishes": {"part": "9"}}),
        ("route", {"wishes": {"flute": "kazoo"}}),
        ("route", {"wishes": {"parts": ["bellows"]}}),
        ("compare", {"wishes_a": {}, "wishes_c": {}}),
        ("look", []),
    ],
)
def test_a_wrong_question_is_an_answer_not_a_fault(task: str, body: Any) -> None:
    """Wrong bodies are refused with 400 and words, never with a fault of the server."""
    token = opened(notes="E6 F#6 G#6")["work"]
    from tests.web.pages import client

    answer = client().post(f"/{task}", json=body, headers={"x-gripway-work": token})
    assert answer.status_code == 400, answer.text
    assert error_of(answer)["what"]


@pytest.mark.parametrize("body", [b"", b"{", b"NaN", b'{"notes": NaN}', b"\xff", b"[" * 100_000])
def test_what_is_no_json_is_refused(body: bytes) -> None:
    """Cut off, not a number, not text, nested without end."""
    from tests.web.pages import client

    answer = client().post("/open", content=body, headers={"content-type": "application/json"})
    assert answer.status_code == 400


def test_an_unknown_address_is_refused() -> None:
    """Neither questions nor files that are not there."""
    token = opened(notes="E6")["work"]
    assert ask("solve", token).status_code == 404
    assert ask("download/passwd", token, wishes={}).status_code == 404
