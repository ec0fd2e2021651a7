"""Whole numbers as scores write them: plain digits with a sign, nothing that only looks like one."""

import re

_WHOLE = re.compile(r"\s*([+-]?[0-9]{1,9})\s*")


def whole(text: str) -> int | None:
    """The number a text spells in ASCII digits, at most nine of them; None for anything else.

    >>> whole("+12"), whole("²"), whole("+-1")
    (12, None, None)
    """
    match = _WHOLE.fullmatch(text)
    return int(match[1]) if match else None
