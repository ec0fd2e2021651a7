"""Tables for the terminal: at most 100 columns, and plain text where there is no colour."""

import sys
from collections.abc import Callable
from io import StringIO

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table
from rich.text import Text

COLUMNS = 100
"""Width of the text output; a narrower terminal gets its own width, but no less than 60."""

RIGHT = {"needs", "has", "load", "cents", "effort", "note"}


def render(write: Callable[[Console], None]) -> str:
    """What `write` prints, as one text; with colour codes only when standard output is a terminal."""
    live = sys.stdout.isatty()
    width = min(COLUMNS, max(60, Console().width)) if live else COLUMNS
    stream = StringIO()
    console = Console(file=stream, width=width, force_terminal=live, highlight=False, emoji=False)
    write(console)
    return "\n".join(line.rstrip() for line in stream.getvalue().splitlines()) + "\n"


def plain_table(title: str, columns: tuple[str, ...]) -> Table:
    """An empty table with a title above it and no outer frame."""
    table = Table(title=Text(title, style="bold"), title_justify="left", box=SIMPLE_HEAD, pad_edge=False)
    for column in columns:
        wide = column in ("why, and what to watch", "parts", "use")
        table.add_column(
            column,
            justify="right" if column in RIGHT else "left",
            no_wrap=not wide,
            overflow="fold" if wide else "crop",
        )
    return table


def paint(text: str, style: str) -> Text:
    """A cell with a style, never read as markup."""
    return Text(text, style=style)
