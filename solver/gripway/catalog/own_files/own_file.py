"""What a player's own files have in common: read up to a bound, as UTF-8 and TOML, every number bounded."""

import re
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

from gripway.errors import GripwayError
from gripway.files import read_bounded

MOST_BYTES = 1024 * 1024
"""Longest file of a player's own (judgement: a thousand rules have a tenth of it)."""

MOST_DEPTH = 8
"""Deepest nesting of tables and lists (our own keys go four deep)."""

LARGEST_NUMBER = 10**9
LONGEST_TEXT = 10_000
"""Anything larger or longer is a slip, whatever key it stands at (judgement)."""

_MANY_DIGITS = re.compile(r"[0-9_]{1000,}")

Error = type[GripwayError]


def own_text(path: Path, error: Error) -> str:
    """The text of a player's own file; `error` is raised, with the file, for what cannot be read."""
    try:
        data = read_bounded(path, MOST_BYTES)
    except OSError as problem:
        raise error(
            f"cannot be read: {problem.strerror}", place=str(path), next_step="Check the file's name"
        ) from None
    return utf8_text(data, str(path), error)


def text_if_there(path: Path, error: Error) -> str:
    """The same of a file that is written to; empty where it is not there yet."""
    return own_text(path, error) if path.exists() else ""


def with_table(text: str, table: str) -> str:
    """TOML with a table more at its end, an empty line before it."""
    gap = "" if not text else "\n" if text.endswith("\n") else "\n\n"
    return f"{text}{gap}{table}"


def utf8_text(data: bytes, name: str, error: Error) -> str:
    """Bytes as text; `error` is raised, with the name, where they are no UTF-8."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise error("is no UTF-8 text", place=name, next_step="Save it as UTF-8") from None


def own_toml(path: Path, error: Error, within: Callable[[str, int], str] = lambda _text, _line: "") -> Any:
    """The tables of a player's own TOML file.

    `error` is raised with file and line for what is no TOML (`within` says in which entry of the
    text that line stands), and with file and key for a value out of all bounds.
    """
    return toml_of(own_text(path, error), str(path), error, within)


def toml_of(
    text: str, name: str, error: Error, within: Callable[[str, int], str] = lambda _text, _line: ""
) -> Any:
    """The tables of a text as `own_toml` gives them; `name` is what the file is called."""
    try:
        data = tomllib.loads(text)
    except (ValueError, RecursionError) as problem:
        what, line = _fault(text, problem)
        place = f"{name}: line {line}{within(text, line)}" if line else name
        raise error(f"is no TOML: {what}", place=place, next_step="Mend that line") from None
    for key, value in data.items():
        _check(name, key, value, error)
    return data


def entry_at(name: str, text: str, line: int) -> str:
    """The entry of [[name]] a line stands in, as a place says it; empty before the first."""
    number = sum(each.strip().startswith(f"[[{name}]]") for each in text.splitlines()[:line])
    return f" ({name} {number})" if number else ""


def _fault(text: str, problem: Exception) -> tuple[str, int]:
    """What is wrong with the form of a text, and the line (0 where none is known)."""
    if isinstance(problem, RecursionError):
        return "lists or tables stand too deep in one another", 0
    if not isinstance(problem, tomllib.TOMLDecodeError):  # the digits that Python will not count
        found = _MANY_DIGITS.search(text)
        return "a number has too many digits", text.count("\n", 0, found.start()) + 1 if found else 0
    said = re.search(r"line (\d+)", str(problem))
    return re.sub(r" \(at .*\)$", "", str(problem)), int(said[1]) if said else len(text.splitlines())


def _check(file: str, key: str, value: object, error: Error, depth: int = 1) -> None:
    """Raise `error` where a value, or one in it, is out of all bounds."""
    if isinstance(value, dict | list) and depth > MOST_DEPTH:
        raise _out(file, key, "stands too deep in other tables or lists", error)
    if isinstance(value, dict):
        for name, inner in value.items():
            _check(file, f"{key}.{name}", inner, error, depth + 1)
    elif isinstance(value, list):
        for inner in value:
            _check(file, key, inner, error, depth + 1)
    elif isinstance(value, int) and abs(value) > LARGEST_NUMBER:
        raise _out(file, key, "the number is out of all bounds", error)
    elif isinstance(value, str) and len(value) > LONGEST_TEXT:
        raise _out(file, key, f"the text has {len(value)} signs", error)


def _out(file: str, key: str, what: str, error: Error) -> GripwayError:
    return error(what, place=f"{file}:{key}", next_step="Mend that key, or leave it out")
