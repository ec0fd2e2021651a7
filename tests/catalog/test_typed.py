"""Plain data read by a declared shape: what each slip is told as."""

from typing import Annotated, Any, Literal

import pytest
from msgspec import Meta

from gripway.catalog.own_files.typed import Table, spelt, typed
from gripway.errors import RequestError


def _even(text: str) -> int:
    if int(text) % 2:
        raise ValueError(f"{text} is odd")
    return int(text)


Even: Any = spelt("Write an even number", _even, several=True)


class OwnError(ValueError):
    """An error that knows what to write."""

    what, next_step = "no such word", "Write another"


def _no_word(text: str) -> str:
    raise OwnError(text)


Word: Any = spelt("Write a word", _no_word)


class Words(Table, frozen=True):
    """A table of one word."""

    word: Word


class Inner(Table, frozen=True):
    """A table with one of every kind of value."""

    needed: str
    colour: Literal["blue", "red"] = "red"
    size: Annotated[float, Meta(ge=0, le=4)] | None = None
    number: int = 0
    flag: bool = False
    words: Annotated[tuple[Annotated[str, Meta(max_length=5)], ...], Meta(max_length=2)] = ()
    even: Even | None = None


class Outer(Table, frozen=True):
    """A file of two tables."""

    inner: Inner = Inner("x")
    other: Annotated[Inner, Meta(description="Write it as { ... }")] = Inner("y")


def fault(key: str, what: str, next_step: str) -> RequestError:
    """An error with the key as its place."""
    return RequestError(what, place=key, next_step=next_step)


@pytest.mark.parametrize(
    ("inner", "told"),
    [
        ({}, "inner.needed: is missing. inner has needed, colour, size, number, flag, words, even"),
        ({"neded": "a"}, "inner.neded: no such key. inner has needed, colour"),
        ({"more": 1}, "inner.more: no such key. inner has needed, colour"),
        ({"needed": 3}, "inner.needed: 3 is not a text. Put it in quotes"),
        ({"colour": "green"}, "inner.colour: 'green' is none of the choices. Write one of blue, red"),
        ({"size": 4.5}, "inner.size: 4.5 is not from 0 to 4. Choose a value from 0 to 4"),
        ({"size": 10**400}, "is not from 0 to 4. Choose a value from 0 to 4"),
        ({"size": "big"}, "inner.size: 'big' is not a number. Choose a value from 0 to 4"),
        ({"size": True}, "inner.size: True is not a number"),
        ({"number": 1.5}, "inner.number: 1.5 is not a whole number. Write a whole number"),
        ({"flag": 1}, "inner.flag: 1 is neither true nor false. Write true or false"),
        ({"words": "ab"}, "inner.words: 'ab' is not a list. Write it as"),
        ({"words": [1]}, "inner.words: 1 is not a text. Write it as"),
        ({"words": ["a", "b", "c"]}, "inner.words: more than 2 entries. Take some away"),
        ({"words": ["abcdef"]}, "inner.words: more than 5 signs. Take some away"),
        ({"even": "3"}, "inner.even: 3 is odd. Write an even number"),
        ({"even": ["2", 4]}, "inner.even: 4 is not a text. Write an even number"),
        ({"even": []}, "inner.even: the list is empty. Write an even number"),
        ({"even": " "}, "inner.even: the text is empty. Write an even number"),
    ],
)
def test_each_slip_has_its_key_and_the_way_out(inner: dict[str, Any], told: str) -> None:
    """A missing or unknown key, a value of another kind, out of its range or too long."""
    whole = inner if not inner or "neded" in inner else {"needed": "a", **inner}
    with pytest.raises(RequestError) as caught:
        typed({"inner": whole}, Outer, fault)
    assert told in str(caught.value)


@pytest.mark.parametrize(
    ("data", "told"),
    [
        ([], "not a table"),
        ({"inner": 3}, "inner: not a table. Write [inner] on a line of its own"),
        ({"other": 3}, "other: not a table. Write it as { ... }"),
        ({"outer": {}}, "outer: no such table. The tables are inner, other"),
        ({"a - at `$.inner`": 1}, "no such table. The tables are inner, other"),
    ],
)
def test_a_slip_in_the_whole_is_told_too(data: Any, told: str) -> None:
    """What is no table, and tables that there are not, also where a name looks like a place."""
    with pytest.raises(RequestError) as caught:
        typed(data, Outer, fault)
    assert told in str(caught.value)


def test_what_is_right_is_read() -> None:
    """Values of their kinds, texts as what they are read as, whole numbers as floats."""
    read = typed({"inner": {"needed": "a", "size": 3, "even": ["2", "4"]}}, Outer, fault).inner
    assert (read.needed, read.size, read.even.value) == ("a", 3.0, (2, 4))
    assert isinstance(read.size, float)


def test_a_text_may_say_itself_what_to_write() -> None:
    """An error of the reading that has a next step of its own is told with it."""
    with pytest.raises(RequestError, match=r"word: no such word\. Write another"):
        typed({"word": "x"}, Words, fault)
