"""What can be looked up: columns and sources of the tables, manual, examples, schemas of the answers."""

from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any

from gripway.catalog.answer_schemas import answer_schema as schema_of
from gripway.catalog.answer_schemas import answer_titles
from gripway.catalog.examples import ABOUT, example_files
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
    raise _unknown(f"the manual has no topic {name!r}", "TOPIC", near, "gripway help lists all topics")


def examples() -> dict[str, str]:
    """What each example is, by its file's name."""
    return dict(ABOUT)


def example(name: str) -> bytes:
    """An example's file; a name without an ending means the score.

    RequestError with the names near it where there is none.
    """
    files = example_files()
    path = files.get(name) or files.get(f"{name}.musicxml")
    if path is not None:
        return path.read_bytes()
    near = get_close_matches(name, list(files), n=3, cutoff=0.4)
    raise _unknown(f"there is no example {name!r}", "NAME", near, "gripway example lists them all")


def answers() -> dict[str, str]:
    """What each JSON answer is, by its name."""
    return dict(answer_titles())


def answer_schema(name: str) -> dict[str, Any]:
    """The JSON Schema (2020-12) of an answer. RequestError with the names near it where there is none."""
    if name in answer_titles():
        return schema_of(name)
    near = get_close_matches(name, list(answer_titles()), n=3, cutoff=0.4)
    raise _unknown(f"there is no answer {name!r}", "NAME", near, "gripway schema lists them all")


def _unknown(message: str, place: str, near: list[str], step: str) -> RequestError:
    meant = f"Did you mean {', '.join(near)}? " if near else ""
    return RequestError(message, place=place, next_step=f"{meant}{step}")
