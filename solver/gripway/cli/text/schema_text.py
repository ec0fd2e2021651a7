"""The keys of an answer as text, from its JSON Schema: a line a key, with what it holds."""

from collections.abc import Iterator, Mapping
from typing import Any

from gripway.catalog.answer_schemas import DEFS
from gripway.cli.text.wrapping import WIDTH, wrapped

INDENT = 2


def schema_text(name: str, schema: dict[str, Any]) -> str:
    """A line a key with the values it can have, and below it, further in, the keys of what it holds.

    `?` stands behind a key that may be left out, `[]` behind one of a list.
    """
    defs = schema.get("$defs", {})
    heads = [f"{name}: {schema['title']}"]
    lines: list[str] = []
    for form in schema.get("oneOf", [schema]):
        lines += heads if form is schema else [*heads, f"{form['title']}:"]
        heads = [""]
        lines += _lines(form, defs, INDENT)
    return "".join(f"{line}\n" for line in lines)


def answer_list(titles: Mapping[str, str]) -> str:
    """A line an answer."""
    width = max(map(len, titles)) + 3
    return "".join(f"{name:{width}}{title}\n" for name, title in titles.items())


def _lines(node: dict[str, Any], defs: dict[str, Any], indent: int) -> Iterator[str]:
    """The keys of an object, each followed by those of what it holds."""
    for base in node.get("allOf", ()):
        yield from _lines(_followed(base, defs), defs, indent)
    for key, held in node.get("properties", {}).items():
        inner, many = _inner(held, defs)
        may_miss = "" if key in node["required"] else "?"
        about = (
            held.get("description")
            or _followed(held, defs).get("description")
            or inner.get("description", "")
        )
        values = [each for each in inner.get("enum", ()) if each is not None]
        of = f" ({', '.join(values)})" if values else ""
        words = f"{key}{may_miss}{'[]' * many}{of}: {about}".rstrip(": ")
        begin = " " * indent
        yield wrapped(words, WIDTH, begin, begin + " " * 2 * INDENT)
        yield from _lines(inner, defs, indent + INDENT)


def _inner(node: dict[str, Any], defs: dict[str, Any]) -> tuple[dict[str, Any], int]:
    """What a value holds where it is a list or may be null, and how many lists stand around it."""
    node = _followed(node, defs)
    if "items" in node:
        inner, many = _inner(node["items"], defs)
        return inner, many + 1
    for choice in node.get("anyOf", ()):
        if choice.get("type") != "null":
            return _inner(choice, defs)
    return node, 0


def _followed(node: dict[str, Any], defs: dict[str, Any]) -> dict[str, Any]:
    """A node with its reference followed."""
    ref = node.get("$ref")
    return defs[ref.removeprefix(DEFS)] if ref else node
