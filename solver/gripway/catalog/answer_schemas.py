"""The JSON Schemas (2020-12) of the answers: one file an answer in `tables/answers/`, and what they share."""

import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from gripway.catalog.tables.locator import our_tables

SHARED = "shared"
DEFS = "#/$defs/"


@cache
def answer_titles() -> dict[str, str]:
    """What each answer is, by its name, in alphabetical order.

    >>> answer_titles()["grips"]
    'Every grip of a pitch'
    """
    names = sorted(path.stem for path in _folder().glob("*.json"))
    return {name: _read(name)["title"] for name in names if name != SHARED}


def answer_schema(name: str) -> dict[str, Any]:
    """The whole schema of an answer: its file with those of the shared definitions it leads to.

    KeyError where there is no such answer.

    >>> sorted(answer_schema("grips")["$defs"])
    ['cents', 'cents source', 'grip', 'kind', 'pitch']
    """
    if name not in answer_titles():
        raise KeyError(name)
    schema = _read(name)
    own, shared = schema.pop("$defs", {}), _read(SHARED)["$defs"]
    needed: dict[str, Any] = dict(own)
    waiting = [schema, *own.values()]
    while waiting:
        for ref in _refs(waiting.pop()):
            if ref not in needed:
                needed[ref] = shared[ref]
                waiting.append(shared[ref])
    return schema | {"$defs": needed} if needed else schema


def _refs(node: Any) -> Iterator[str]:
    """The names of the definitions a piece of a schema leads to."""
    if isinstance(node, dict):
        if "$ref" in node:
            yield node["$ref"].removeprefix(DEFS)
        node = list(node.values())
    if isinstance(node, list):
        for each in node:
            yield from _refs(each)


def _read(name: str) -> dict[str, Any]:
    data: dict[str, Any] = json.loads((_folder() / f"{name}.json").read_text(encoding="utf-8"))
    return data


def _folder() -> Path:
    return our_tables() / "answers"
