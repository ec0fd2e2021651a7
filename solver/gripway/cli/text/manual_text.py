"""A text of the manual as a terminal shows it: paragraphs in its width, tables as lists, links as topics."""

import re
import shutil
import sys
import textwrap
from collections.abc import Sequence

from gripway.catalog.manual import Topic
from gripway.cli.text.wrapping import WIDTH, wrapped

NARROWEST = 60
"""Columns of the text at least: a terminal narrower than WIDTH gets its own width, but no less."""

FENCE = "```"
NOT_RUN = re.compile(r"^<!--.*?-->\n", re.MULTILINE | re.DOTALL)
IMAGE = re.compile(r"!\[([^\]]*)\]\([^)]*\)")
TOPIC_LINK = re.compile(r"\[([^\]]*)\]\((\w+)\.md(?:#[^)]*)?\)")
FILE_LINK = re.compile(r"\[([^\]]*)\]\([^)]*\)")
RULE = re.compile(r"[|\s:-]+")
CELLS = re.compile(r"(?<!\\)\|")
LIST = re.compile(r"- ")


def manual_text(markdown: str) -> str:
    """The text of a topic, from its Markdown."""
    live = sys.stdout.isatty()
    width = min(WIDTH, max(NARROWEST, shutil.get_terminal_size().columns)) if live else WIDTH
    shown: list[str] = []
    inside = False
    for part in re.split(r"^(```.*\n)", NOT_RUN.sub("", markdown), flags=re.MULTILINE):
        if part.startswith(FENCE):
            inside = not inside
        elif inside:
            shown.append(textwrap.indent(part, "    ", lambda _: True).replace("    \n", "\n").rstrip())
        else:
            shown += [
                _block(_plain(block), width) for block in re.split(r"\n{2,}", part.strip("\n")) if block
            ]
    return "\n\n".join(shown) + "\n"


def topic_list(topics: Sequence[Topic]) -> str:
    """A line a topic: its name, what it is about, and a command to try."""
    names = max(len(topic.name) for topic in topics)
    titles = max(len(topic.about) for topic in topics)
    lines = [f"{topic.name:{names}}  {topic.about:{titles}}  {topic.example}" for topic in topics]
    return "\n".join(["gripway help TOPIC prints one of these topics.", "", *lines]) + "\n"


def _plain(block: str) -> str:
    """A block without the signs that only a reader of Markdown needs."""
    block = IMAGE.sub(r"\1", block)
    block = TOPIC_LINK.sub(r"\1 (gripway help \2)", block)
    block = FILE_LINK.sub(r"\1", block)
    return re.sub(r"\*\*([^*]+)\*\*", r"\1", block)


def _block(block: str, width: int) -> str:
    """One block: a heading, a table, a list or a paragraph."""
    if block.startswith("#"):
        return block
    if block.startswith("|"):
        return _table(block.splitlines(), width)
    items = re.split(r"^(?=- )", block, flags=re.MULTILINE)
    return "\n".join(wrapped(item, width, later="  " if LIST.match(item) else "") for item in items if item)


def _table(lines: list[str], width: int) -> str:
    """A table as a list: the first cell of a row, beneath it the second and, with their heads, the others."""
    rows = [[cell.strip().replace("\\|", "|") for cell in CELLS.split(line)[1:-1]] for line in lines]
    heads = rows[0]
    body = [row for line, row in zip(lines[1:], rows[1:], strict=True) if not RULE.fullmatch(line)]
    said = []
    for first, *others in body:
        more = (f"{head}: {cell}" for head, cell in zip(heads[2:], others[1:], strict=False) if cell)
        rest = "; ".join([others[0], *more])
        said.append(f"  {first}\n" + wrapped(rest, width, begin="      ", later="      "))
    return "\n".join(said)
