"""Tables for the terminal: at most 100 columns, and plain text where there is no colour."""

import re
import sys
from collections.abc import Callable, Sequence
from functools import wraps
from io import StringIO
from typing import Concatenate, ParamSpec

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

COLUMNS = 100
"""Width of the text output; a narrower terminal gets its own width, but no less than 60."""

NARROWEST = 60
GAP = 3
"""Blanks between two columns."""

LEAST_WORDS = 24
"""A column of words narrower than this goes beneath its row."""

RIGHT = {"minutes", "needs", "has", "load", "cents", "effort", "note", "point", "route", "more", "saves"}
WORDS = {
    "what",
    "notes",
    "why, and what to watch",
    "parts",
    "use",
    "where",
    "adds",
    "from the point above",
    "what differs",
}
"""Columns that may break into lines; all others are as wide as they must be."""

FIRST_BENEATH = ("why, and what to watch", "parts", "use", "fingers", "where", "response", "from")
"""Columns that go beneath the row when the terminal is narrow, in this order."""

TOUCH = r"(?:Tb?|[LR]?[1-4]|Sb|Kds?|Kcs|Eb|Cs|C|B|Hc)"
GRIP_IN_WORDS = re.compile(rf"(?:\b[A-G](?:##|#|bb|b)?\d )?(?:(?<![\w#]){TOUCH} )*\|(?: {TOUCH}(?![\w#]))*")
GLUE = "\ue000"
"""Stands for the blanks inside a grip while lines are broken, so that none breaks in a grip."""

Cell = str | Text
P = ParamSpec("P")


def rendered(write: Callable[Concatenate[Console, P], None]) -> Callable[P, str]:
    """What a function prints, as one text; with colour codes only when standard output is a terminal."""

    @wraps(write)
    def text(*args: P.args, **kwargs: P.kwargs) -> str:
        live = sys.stdout.isatty()
        width = min(COLUMNS, max(NARROWEST, Console().width)) if live else COLUMNS
        stream = StringIO()
        console = Console(file=stream, width=width, force_terminal=live, highlight=False, emoji=False)
        write(console, *args, **kwargs)
        lines = stream.getvalue().replace(GLUE, " ").splitlines()
        return "\n".join(line.rstrip() for line in lines) + "\n"

    return text


def words(text: str, style: str = "") -> Text:
    """Text whose lines do not break inside a grip; never read as markup."""
    return Text(GRIP_IN_WORDS.sub(lambda grip: grip[0].replace(" ", GLUE), text), style=style)


def paint(text: str, style: str) -> Text:
    """A cell with a style, never read as markup."""
    return Text(text, style=style)


def print_indented(console: Console, *lines: str, by: int = 2) -> None:
    """Lines of words, each indented."""
    for line in lines:
        console.print(Padding(words(line), (0, 0, 0, by)))


def print_table(
    console: Console,
    title: str,
    columns: Sequence[str],
    rows: Sequence[Sequence[Cell]],
    beneath: str = "",
) -> None:
    """A table under its title, and an empty line.

    The column `beneath`, and what a narrow terminal has no room for, goes beneath each row.
    """
    if title:
        console.print(Text(title, style="bold"))
    kept = _kept(columns, rows, console.width, beneath)
    if len(kept) == len(columns):
        console.print(_table(columns, rows))
    else:
        _print_with_lines_beneath(console, columns, rows, kept)
    console.print()


def _kept(columns: Sequence[str], rows: Sequence[Sequence[Cell]], width: int, beneath: str) -> list[int]:
    """Places of the columns that stand side by side in this width.

    With one column beneath anyway every other is as wide as its longest cell.
    """
    least = dict.fromkeys(() if beneath else WORDS, LEAST_WORDS)
    table = (columns, *rows)
    widths = [
        max(line.cell_len for row in table for line in _as_text(row[k]).split()) for k in range(len(columns))
    ]
    kept = [k for k, column in enumerate(columns) if column != beneath]
    for name in (*FIRST_BENEATH, *reversed(columns)):
        needed = sum(min(widths[k], least.get(columns[k], widths[k])) for k in kept)
        if needed + GAP * (len(kept) - 1) <= width:
            break
        kept = [k for k in kept if columns[k] != name]
    return kept


def _table(columns: Sequence[str], rows: Sequence[Sequence[Cell]]) -> Table:
    table = Table(box=SIMPLE_HEAD, show_edge=False, pad_edge=False)
    for column in columns:
        wide = column in WORDS
        table.add_column(
            column,
            justify="right" if column in RIGHT else "left",
            no_wrap=not wide,
            overflow="fold" if wide else "crop",
        )
    for row in rows:
        table.add_row(*(words(cell) if isinstance(cell, str) else cell for cell in row))
    return table


def _print_with_lines_beneath(
    console: Console, columns: Sequence[str], rows: Sequence[Sequence[Cell]], kept: list[int]
) -> None:
    """The kept columns as a table, and beneath every row the other cells, named where they are short."""
    shown = [[_as_text(row[k]) for k in kept] for row in rows]
    heads = [Text(columns[k], style="bold") for k in kept]
    widths = [max(line[k].cell_len for line in (heads, *shown)) for k in range(len(kept))]
    for number, line in enumerate([heads, *shown]):
        cells = [_filled(cell, width, columns[k]) for cell, width, k in zip(line, widths, kept, strict=True)]
        console.print(Text(" " * GAP).join(cells), no_wrap=True, overflow="crop")
        if number == 0:
            console.print("─" * min(console.width, sum(widths) + GAP * (len(kept) - 1)))
        elif beneath := "; ".join(_beneath(columns, rows[number - 1], kept)):
            print_indented(console, beneath, by=4)


def _as_text(cell: Cell) -> Text:
    return cell if isinstance(cell, Text) else Text(cell)


def _filled(cell: Text, width: int, column: str) -> Text:
    filled = cell.copy()
    filled.align("right" if column in RIGHT else "left", width)
    return filled


def _beneath(columns: Sequence[str], row: Sequence[Cell], kept: list[int]) -> list[str]:
    cells = [(column, str(row[k])) for k, column in enumerate(columns) if k not in kept and str(row[k])]
    return [text if column in WORDS else f"{column} {text}" for column, text in cells]
