"""Numbers as scores write them: plain digits with a sign, bounded, nothing that only looks like one."""

import re
from fractions import Fraction

_WHOLE = re.compile(r"\s*([+-]?[0-9]{1,9})\s*")
_DECIMAL = re.compile(r"\s*([+-]?(?:[0-9]{1,9}(?:\.[0-9]{0,18})?|\.[0-9]{1,18}))\s*")
SHOWN = 40
"""So many signs of an odd text are shown."""


def whole(text: str) -> int | None:
    """The number a text spells in ASCII digits, at most nine of them; None for anything else.

    >>> whole("+12"), whole("²"), whole("+-1")
    (12, None, None)
    """
    match = _WHOLE.fullmatch(text)
    return int(match[1]) if match else None


def decimal(text: str) -> Fraction | None:
    """The number a text spells as the type `decimal` of XML Schema has it, below 1,000,000,000.

    None for anything else; an exponent or a fraction bar is no such number.

    >>> decimal("1.50"), decimal("1e9"), decimal("1/2")
    (Fraction(3, 2), None, None)
    """
    match = _DECIMAL.fullmatch(text)
    return Fraction(match[1]) if match else None


def shown(text: str) -> str:
    """An odd text as an error shows it, cut where it is long."""
    return repr(text if len(text) <= SHOWN else f"{text[:SHOWN]}…")
