"""HTML and SVG from the templates of this room: every text is escaped unless it is markup of ours already.

A line end of a template is left out beside a tag or a sign of the template, else it is a space, so
that templates can be laid out as code is.
"""

import re
from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from jinja2.ext import Extension
from markupsafe import Markup

HERE = Path(__file__).parent
_UNWRITABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")
_LINE_END = re.compile(r"(?<=[>}])\s*\n\s*|\s*\n\s*(?=[<{]|\Z)|\s*(\n)\s*")


def filled(template: str, **values: object) -> Markup:
    """A template of `page/templates/` with its values. Raises jinja2's UndefinedError where one is missing.

    Characters no document can hold are left out of texts; floats are written as whole numbers.
    """
    return Markup(_templates().get_template(template).render(values))  # noqa: S704 - the templates escape


def own_file(name: str) -> Markup:
    """A style sheet or script of this room, as it is."""
    return Markup((HERE / name).read_text(encoding="utf-8"))  # noqa: S704 - our own


class _Joined(Extension):
    """Joins the lines of a template before it is read."""

    def preprocess(self, source: str, name: str | None, filename: str | None = None) -> str:
        return _LINE_END.sub(lambda end: " " if end[1] else "", source)


@cache
def _templates() -> Environment:
    return Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_written,
        extensions=[_Joined],
    )


def writable(text: str) -> str:
    """A text without the characters no document can hold."""
    return _UNWRITABLE.sub("", text)


def _written(value: object) -> object:
    if isinstance(value, float):
        return f"{value:.0f}"
    return value if isinstance(value, Markup) else writable(str(value))
