"""Plain data, of TOML or JSON, read into structs of msgspec: the first fault has its key and what to do.

What msgspec says of a fault is put into our own words by the JSON schema of the kind that was asked for.
"""

import re
from collections.abc import Callable
from typing import Any, TypeVar

import msgspec

from gripway.errors import GripwayError

T = TypeVar("T")
Fault = Callable[[str, str, str], GripwayError]
"""Makes an error of the key (`dials.speed`, empty for the whole), what is wrong and the next step."""

KINDS = {
    "string": ("is not a text", "Put it in quotes"),
    "boolean": ("is neither true nor false", "Write true or false"),
    "number": ("is not a number", "Write a number"),
    "integer": ("is not a whole number", "Write a whole number"),
    "array": ("is not a list", 'Write it as ["...", "..."]'),
}
"""What a value of another kind is not, and what to write, by the kind's name in a JSON schema."""

_FAULT = re.compile(r"(.*?)(?: - at `\$([^`]*)`)?", re.DOTALL)
_STEP = re.compile(r"\.([^.\[\]]+)|\[(\d+)\]")
_FIELD = re.compile(r"Object (contains unknown|missing required) field `(.*)`", re.DOTALL)


class Table(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A table of a file, or an object of a request: no keys but its own."""


class Spelt:
    """What a text, or several, are read as: `value`. `spelt` makes the kinds of it."""

    read: Callable[[str], Any]
    several = False

    def __init__(self, given: object) -> None:
        texts: list[Any] = given if self.several and isinstance(given, list) else [given]
        if not texts:
            raise ValueError("the list is empty")
        for text in texts:
            if not isinstance(text, str):
                raise ValueError(f"{text!r} is not a text")
            if not text.strip():
                raise ValueError("the text is empty")
        values = tuple(type(self).read(text.strip()) for text in texts)
        self.value: Any = values if self.several else values[0]


def spelt(how: str, read: Callable[[str], Any], *, several: bool = False) -> Any:
    """A kind of value read from a text, or from one or a list of them; `how` says what to write.

    `read` raises ValueError for a text that means nothing.
    """
    return type("Spelt", (Spelt,), {"how": how, "read": staticmethod(read), "several": several})


def faults(error: type[GripwayError], before: str) -> Fault:
    """Makes errors of this class for faults of a file, placed at the key with what stands `before` it."""
    return lambda key, what, next_step: error(what, place=f"{before}{key}", next_step=next_step)


def typed(data: object, kind: type[T], fault: Fault) -> T:
    """The data as a value of a kind. Raises the error that `fault` makes for the first thing amiss."""
    try:
        return msgspec.convert(data, kind, dec_hook=lambda spelling, value: spelling(value))
    except msgspec.ValidationError as problem:
        key, what, next_step = _told(data, kind, str(problem))
        own = problem.__cause__  # of a text that means nothing; it may say more of itself
        error = fault(key, getattr(own, "what", what), getattr(own, "next_step", next_step))
    raise error


def _told(value: Any, kind: Any, problem: str) -> tuple[str, str, str]:
    """Key, what is wrong and the next step, of what msgspec said and where."""
    said, path = _FAULT.fullmatch(problem).groups("")  # type: ignore[union-attr]
    steps = _STEP.findall(path)
    key = ".".join(name for name, _ in steps if name)
    schema = msgspec.json.schema(kind, schema_hook=_spelt_schema)
    node = _plain(schema, schema)
    for name, index in steps:
        value = value[name or int(index)]
        node = _plain(schema, node["properties"][name] if name else node["items"])
    if field := _FIELD.fullmatch(said):
        known = ", ".join(node["properties"])
        tables = all(_plain(schema, each).get("type") == "object" for each in node["properties"].values())
        word = "table" if tables else "key"
        what = "is missing" if field[1] == "missing required" else f"no such {word}"
        if key:
            return f"{key}.{field[2]}", what, f"{key} has {known}"
        return field[2], what, f"The {word}s are {known}"
    if "of length" in said:
        most = f"{node['maxLength']} signs" if "maxLength" in node else f"{node['maxItems']} entries"
        return key, f"more than {most}", "Take some away"
    what, next_step = KINDS.get(node.get("type", "string"), ("", f"Write [{key}] on a line of its own"))
    if steps and steps[-1][1] and node.get("type") == "string":
        next_step = KINDS["array"][1]
    if "enum" in node:
        what, next_step = "is none of the choices", f"Write one of {', '.join(node['enum'])}"
    if "minimum" in node:
        span = f"{node['minimum']:g} to {node['maximum']:g}"
        next_step = f"Choose a value from {span}"
        what = f"is not from {span}" if "=" in said or "range" in said else what
    if said.startswith(("Expected", "Invalid", "Number")):
        said = f"{value!r} {what}" if what else "not a table"
    return key, said, node.get("description", next_step)


def _spelt_schema(kind: Any) -> dict[str, str]:
    return {"type": "string", "description": kind.how}


def _plain(schema: dict[str, Any], node: dict[str, Any]) -> dict[str, Any]:
    """A node of a schema with its reference followed and without the choice of leaving it out."""
    node = next((each for each in node.get("anyOf", ()) if each.get("type") != "null"), node)
    if "$ref" not in node:
        return node
    table = schema["$defs"][node["$ref"].rpartition("/")[2]]
    return {name: value for name, value in table.items() if name != "description"} | node
