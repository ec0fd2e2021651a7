"""The text faces for a document that has no server to fetch them from, as data in its style sheet."""

import base64
import re
from functools import cache
from importlib.resources import files

FACES = files("gripway").joinpath("web", "static", "faces")
"""The faces as the page is served them."""

_RULE = re.compile(r'@font-face \{ font-family: "([^"]+)"; src: url\("([^"]+)"\)[^}]*\}')


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
