"""A whole HTML document that needs nothing else: its policy lets no other file and no other script in.

The text faces its style sheet names stand in it as data, as there is no server to fetch them from.
"""

import base64
import hashlib
import re
from functools import cache
from importlib.resources import files

from markupsafe import Markup

from gripway.page.markup import filled, own_file

FACES = files("gripway").joinpath("web", "static", "faces")
"""The faces as the page is served them."""

_RULE = re.compile(r'@font-face \{ font-family: "([^"]+)"; src: url\("([^"]+)"\)[^}]*\}')


def document(title: str, style: str, body: Markup, *, font: str = "", script: str = "") -> str:
    """The document of a body; `style` and `script` name files of this room, `font` is WOFF2 as base64."""
    code = own_file(script) if script else ""
    return written_document(title, own_file(style), body, font=font, script=code)


def written_document(title: str, style: str, body: Markup, *, font: str = "", script: str = "") -> str:
    """The same with the style sheet and the script themselves, which are our own."""
    whole = filled(
        "document.html",
        title=title,
        style=Markup(f"{faces_of(style)}{style}"),  # noqa: S704 - our own
        body=body,
        font=font,
        script=Markup(script),  # noqa: S704 - our own
        digest=base64.b64encode(hashlib.sha256(script.encode()).digest()).decode(),
    )
    return f"{whole}\n"


def message_page(words: str) -> str:
    """A document that says one thing, where there is nothing else to show."""
    return document(words, "legend.css", filled("message.html", words=words))


def faces_of(style: str) -> str:
    """The `@font-face` rules of those of our families that a style sheet names, their files as data."""
    return "".join(rule for family, rule in _rules() if f'"{family}"' in style)


@cache
def _rules() -> tuple[tuple[str, str], ...]:
    sheet = FACES.joinpath("faces.css").read_text(encoding="utf-8")
    return tuple((rule[1], f"{rule[0].replace(rule[2], _data(rule[2]))}\n") for rule in _RULE.finditer(sheet))


def _data(name: str) -> str:
    written = base64.b64encode(FACES.joinpath(name).read_bytes()).decode()
    return f"data:font/woff2;base64,{written}"
