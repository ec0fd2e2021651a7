"""HTML and SVG put together safely: text is escaped unless it is markup of ours already."""

import re
from collections.abc import Iterable
from html import escape

_UNWRITABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")
VOID = frozenset({"meta", "link", "br", "wbr", "col", "hr"})


class Markup(str):
    """Text that is markup already; only `tag`, `join` and trusted drawings make it."""

    __slots__ = ()


def text(value: str) -> Markup:
    """Any text, escaped, without characters a document cannot hold.

    >>> text("<script>")
    '&lt;script&gt;'
    """
    return value if isinstance(value, Markup) else Markup(escape(_UNWRITABLE.sub("", value)))


def count(number: int, what: str) -> str:
    """A number of things: `1 note`, `3 notes`."""
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def join(parts: Iterable[str], between: str = "") -> Markup:
    """Parts one after another, those that are no markup escaped."""
    return Markup(text(between).join(text(part) for part in parts))


def tag(name: str, /, *inner: str, **attributes: str | float | bool) -> Markup:
    """An element; `class_` stands for class, `_` in names for a hyphen, True for an attribute without value.

    Attributes that are False or an empty text are left out.

    >>> tag("a", "D6 & E6", href="#x", class_="hit")
    '<a href="#x" class="hit">D6 &amp; E6</a>'
    """
    written = "".join(
        _attribute(key, value) for key, value in attributes.items() if value != "" and value is not False
    )
    if name in VOID:
        return Markup(f"<{name}{written}>")
    return Markup(f"<{name}{written}>{join(inner)}</{name}>")


def _attribute(key: str, value: str | float | bool) -> str:
    name = key.removesuffix("_").replace("_", "-").replace("viewbox", "viewBox")
    if value is True:
        return f" {name}"
    written = f"{value:.0f}" if isinstance(value, float) else str(value)
    return f' {name}="{text(written)}"'
