"""How values show themselves: in a word or two as text, and drawn in a notebook.

What draws them stands far above the values, so it is given here once (`draw_with`), by the door that
notebooks come in by. Without it a notebook shows the text.
"""

from collections.abc import Callable, Sequence, Sized
from dataclasses import MISSING, fields
from typing import Any

SCHEMA = 1
"""Number of the form of all JSON answers: it rises where a key changes its meaning or goes away."""

Drawer = Callable[[object], str | None]
"""HTML of a value; None where there is nothing better than its text."""

_drawers: list[Drawer] = []


def draw_with(drawer: Drawer) -> None:
    """From now on values are drawn by this."""
    _drawers[:] = [drawer]


class Shown:
    """A value that a notebook shows as HTML."""

    __slots__ = ()

    def _repr_html_(self) -> str | None:
        """What a notebook shows (IPython's protocol of rich display)."""
        return _drawers[0](self) if _drawers else None


class SvgText(str):
    """A picture as SVG text, which a notebook shows as the picture."""

    __slots__ = ()

    def __repr__(self) -> str:
        return brief(self, counted(len(self), "character"))

    def _repr_svg_(self) -> str:
        """What a notebook shows (IPython's protocol of rich display)."""
        return str(self)


class HtmlText(Shown, str):
    """An HTML document as text, which a notebook shows in a frame of its own."""

    __slots__ = ()

    def __repr__(self) -> str:
        return brief(self, counted(len(self), "character"))


def brief(value: object, *words: object) -> str:
    """A short repr: the class and a few words, those that are empty left out.

    >>> brief(HtmlText(), "2 pages", "")
    '<HtmlText: 2 pages>'
    """
    told = ", ".join(str(word) for word in words if word not in ("", None, ()))
    return f"<{type(value).__name__}: {told}>" if told else f"<{type(value).__name__}>"


LONGEST = 30
"""Characters of a field that is told; of a longer one how much it holds."""


def set_apart(value: Any) -> str:
    """A short repr of a frozen value with defaults: the fields that are not as they are by default.

    Of what holds many things only the number is told.
    """
    told = []
    for field in fields(value):
        default = field.default if field.default_factory is MISSING else field.default_factory()
        given = getattr(value, field.name)
        if given != default:
            many = isinstance(given, Sized) and not isinstance(given, str) and len(repr(given)) > LONGEST
            told.append(f"{field.name}: {len(given)}" if many else f"{field.name}={given!r}")
    return brief(value, *told)


def rounded(value: float | None, digits: int = 1) -> float | None:
    """A figure as data have it; None stays None."""
    return None if value is None else round(value, digits)


def counted(number: int, what: str) -> str:
    """A number of things: `1 note`, `3 notes`."""
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def enumerated(words: Sequence[str]) -> str:
    """Words one after the other, the last behind `and`; empty where there are none.

    >>> enumerated(["1.4", "1.6", "1.7"]), enumerated(["1.4"])
    ('1.4, 1.6 and 1.7', '1.4')
    """
    *most, last = words or ("",)
    return f"{', '.join(most)} and {last}" if most else last
