"""What can be looked up: the columns and the sources of the tables, and the topics of the manual."""

from collections.abc import Mapping
from difflib import get_close_matches

from gripway.catalog.manual import Topic, topics
from gripway.catalog.tables.column_descriptions import Column, described_columns
from gripway.catalog.tables.sources import bibliography
from gripway.errors import RequestError


def table_columns() -> Mapping[str, tuple[Column, ...]]:
    """The columns of every table by the table's path; a star stands for any instrument."""
    return described_columns()


def table_sources() -> tuple[str, ...]:
    """One line a source that the rows of the tables cite, by author."""
    return bibliography()


def manual_topics() -> tuple[Topic, ...]:
    """Every topic of the manual, in alphabetical order."""
    return tuple(topics().values())


def manual_topic(name: str) -> Topic:
    """The topic of this name, or the one that describes the command of this name.

    Upper case, blanks and hyphens do not matter. RequestError with the names near it where there is none.
    """
    asked = "_".join(name.lower().replace("-", " ").replace("_", " ").split())
    known = topics()
    if asked in known:
        return known[asked]
    by_command = {command: topic for topic in known.values() for command in sorted(topic.commands)}
    if asked in by_command:
        return by_command[asked]
    near = get_close_matches(asked, sorted({*known, *by_command}), n=4, cutoff=0.5)
    step = f"Did you mean {', '.join(near)}? " if near else ""
    raise RequestError(
        f"the manual has no topic {name!r}", place="TOPIC", next_step=f"{step}gripway help lists all topics"
    )
