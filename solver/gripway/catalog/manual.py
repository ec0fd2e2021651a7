"""The manual: one Markdown file a topic, beside the examples or in the installed package."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from gripway.catalog.tables.csv_table import REPORT
from gripway.catalog.tables.locator import manual_folder
from gripway.errors import TableError

HEAD = re.compile(r"# (.+)\n\nTry: `(.+)`\n")
COMMAND = re.compile(r"^#+ .*?`gripway (\w+)", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Topic:
    """One topic: its name, what it is about, a command to try, the commands it describes, its whole text."""

    name: str
    about: str
    example: str
    commands: frozenset[str]
    text: str


@cache
def topics() -> Mapping[str, Topic]:
    """Every topic by its name, in alphabetical order; TableError when a file is not as it must be.

    >>> topics()["notation"].about
    'Music as one line of text'
    """
    try:
        texts = {path.stem: path.read_text(encoding="utf-8") for path in sorted(manual_folder().glob("*.md"))}
    except (OSError, UnicodeDecodeError) as error:
        raise TableError(f"the manual cannot be read ({error})", place="manual", next_step=REPORT) from error
    return MappingProxyType({name: _topic(name, text) for name, text in texts.items()})


def _topic(name: str, text: str) -> Topic:
    head = HEAD.match(text)
    if head is None:
        raise TableError("a topic begins with its title and a command", place=f"{name}.md", next_step=REPORT)
    return Topic(name, head[1], head[2], frozenset(COMMAND.findall(text)), text)
