"""Limits in plain words: `at most 3 unusual grips`, `thumb stays in bars 12-20`."""

import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from math import isfinite
from typing import Any

from gripway.asked.limits import Limits, Thumb
from gripway.errors import RequestError
from gripway.model.rule import Span

HOW_TO_ASK = (
    "Ask for: same figure same grip; at most 3 unusual grips; learn at most 2 grips; "
    "tuning within 120 cents; no note over 15 cents; thumb stays; thumb stays in bars 12-20"
)


def parse_limits(texts: Iterable[str], place: str = "--limit") -> Limits:
    """The limits some texts say, each text one limit or several with commas or semicolons.

    `place` is what the texts were given to. RequestError says which one is not understood, is out of range or
    is said twice.

    >>> parse_limits(["at most 3 unusual grips", "no note over 15 cents"]).worst_cents
    15.0
    """
    limits = Limits()
    for text in texts:
        for part in re.split(r"[,;]", text):
            words = " ".join(part.split())
            if not words:
                raise RequestError("a limit is empty", place=text.strip() or place, next_step=HOW_TO_ASK)
            limits = _add(limits, words, place)
    return limits


def _add(limits: Limits, words: str, place: str) -> Limits:
    for pattern, add in _FORMS:
        if match := re.fullmatch(pattern, words, re.IGNORECASE):
            return add(limits, words, *match.groups())
    raise RequestError(f"the limit {words!r} is not understood", place=place, next_step=HOW_TO_ASK)


def _same(limits: Limits, _words: str) -> Limits:
    return replace(limits, same_figure=True)


def _unusual(limits: Limits, words: str, number: str) -> Limits:
    return _once(limits, words, "unusual", _count(words, number))


def _no_unusual(limits: Limits, words: str) -> Limits:
    return _once(limits, words, "unusual", 0)


def _learn(limits: Limits, words: str, number: str) -> Limits:
    return _once(limits, words, "learnt", _count(words, number))


def _tuning(limits: Limits, words: str, number: str) -> Limits:
    return _once(limits, words, "tuning_cents", _cents(words, number))


def _worst(limits: Limits, words: str, number: str) -> Limits:
    return _once(limits, words, "worst_cents", _cents(words, number))


def _thumb(limits: Limits, _words: str) -> Limits:
    return replace(limits, thumb=(*limits.thumb, Thumb()))


def _thumb_in(limits: Limits, words: str, kind: str, first: str, last: str | None) -> Limits:
    bars = kind.lower().startswith("bar")
    if not bars and not (first.isdecimal() and (last or first).isdecimal()):
        raise RequestError("notes go by their numbers", place=words, next_step="Write notes 3-9")
    return replace(limits, thumb=(*limits.thumb, Thumb(Span(bars, first, last or first))))


def _once(limits: Limits, words: str, name: str, value: Any) -> Limits:
    if getattr(limits, name) not in (None, value):
        raise RequestError("this is limited twice", place=words, next_step="Give one of the two")
    try:
        return replace(limits, **{name: value})
    except RequestError as problem:
        raise RequestError(problem.what, place=words, next_step=problem.next_step) from None


def _count(words: str, number: str) -> int:
    if number.casefold() == "one":
        return 1
    if not re.fullmatch(r"[+-]?[0-9]{1,7}", number):
        raise RequestError(f"{number!r} is not a number of grips", place=words, next_step=HOW_TO_ASK)
    return int(number)


def _cents(words: str, number: str) -> float:
    try:
        cents = float(number)
    except ValueError:
        cents = float("nan")
    if not isfinite(cents):
        raise RequestError(f"{number!r} is not a number of cents", place=words, next_step=HOW_TO_ASK)
    return cents


_FORMS: tuple[tuple[str, Callable[..., Limits]], ...] = (
    (r"same figures?,? same grips?", _same),
    (r"no unusual grips?", _no_unusual),
    (r"(?:at most )?(\S+) unusual grips?", _unusual),
    (r"learn (?:at most )?(\S+) (?:new )?grips?", _learn),
    (r"tuning (?:within )?(\S+) cents?", _tuning),
    (r"no note over (\S+) cents?", _worst),
    (r"(?:the )?thumb stays", _thumb),
    (r"(?:the )?thumb stays in (bars?|notes?) ([^\s-]+)(?:\s*-\s*([^\s-]+))?", _thumb_in),
)
