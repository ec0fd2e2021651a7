"""What a case is, what is asked of the command, and whether its answer holds."""

import codecs
import json
import random
import signal
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from types import FrameType
from typing import Any
from unittest.mock import patch
from xml.parsers import expat

from tests.cli.run_gripway import Answer, ask

from gripway.tasks.flute_player import FlutePlayer

MOST_CPU_S = 20
"""CPU time after which a case counts as hanging."""

WRITTEN = ("--out=", "--log=")
"""Options that name a file to write: all others name what must stay as it is; a log is only added to."""

ANSWERED, REFUSED = "answered", "refused"


KEPT_PLAYERS = lru_cache(maxsize=8)(FlutePlayer)
"""A flute and its player, with what was worked out for earlier cases, as the page keeps them: three times as quick."""


class HangError(BaseException):
    """A case worked for too long; nothing of ours catches this."""


@dataclass(frozen=True)
class Case:
    """What is asked: the words of the command, standard input, and files that must not change."""

    words: tuple[str, ...]
    stdin: bytes = b""
    files: dict[str, bytes] = field(default_factory=dict)
    form: str = ""


@dataclass(frozen=True)
class Section:
    """A kind of cases: one is made from its number by a seeded chance."""

    name: str
    make: Callable[[random.Random], Case]


def chance_of(seed: int, section: str, number: int) -> random.Random:
    """The chance that makes a case: the same in every run and in any order."""
    return random.Random(f"{seed}/{section}/{number}")


def verdict(case: Case) -> str:
    """`answered`, `refused`, or what is wrong, in words."""
    for name, data in case.files.items():
        Path(name).write_bytes(data)
    signal.signal(signal.SIGVTALRM, _hangs)
    signal.setitimer(signal.ITIMER_VIRTUAL, MOST_CPU_S)
    try:
        with patch("gripway.cli.finger_part.FlutePlayer", KEPT_PLAYERS):
            answer = ask(*case.words, stdin=case.stdin)
    except HangError:
        return f"hangs: more than {MOST_CPU_S} s of CPU"
    except BaseException as problem:
        return f"not handled: {type(problem).__name__}: {str(problem)[:200]}"
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
    read = [
        name
        for name in case.files
        if any(name in word and not word.startswith(WRITTEN) for word in case.words)
    ]
    for name in read:
        now = Path(name).read_bytes()
        added_to = name.endswith(".log") and answer.code in (0, 1) and now.startswith(case.files[name])
        if now != case.files[name] and not added_to:
            return f"a file was changed: {name}"
    return judged(answer, case.form)


def _hangs(_number: int, _frame: FrameType | None) -> None:
    raise HangError


def judged(answer: Answer, form: str) -> str:
    """`answered`, `refused`, or what is wrong with an answer."""
    if "Traceback" in answer.err:
        return f"traceback: {answer.err[-300:]}"
    if answer.code == 2:
        return _judged_refusal(answer, form)
    if answer.code not in (0, 1):
        return f"exit {answer.code}: {answer.err[-300:]}"
    try:
        _READERS.get(form, bytes.decode)(answer.data)
    except (ValueError, expat.ExpatError) as problem:
        return f"ill-formed {form or 'text'}: {type(problem).__name__}: {str(problem)[:200]}"
    return ANSWERED


def _judged_refusal(answer: Answer, form: str) -> str:
    said = answer.err.rstrip().rpartition("\n")[2]
    if answer.data and not (form == "json" and b'"conflict"' in answer.data):
        return f"refused, and something on standard output: {answer.data[:100]!r}"
    if "gripway: " not in answer.err and '"error": ' not in answer.err:
        return f"refused without a word: {answer.err[-200:]!r}"
    if len(said) > 3000:
        return f"a message of {len(said)} signs"
    if said.startswith("{"):
        error = json.loads(said)["error"]
        return REFUSED if error["what"] and error["next_step"] else f"no next step: {said[-300:]}"
    if not said.rstrip().endswith("--help") and ". " not in said:
        return f"refused without a next step: {said[-300:]}"
    return REFUSED


def _json(data: bytes) -> Any:
    return json.loads(data, parse_constant=_no_constant)


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} in JSON")


def _xml(data: bytes) -> None:
    expat.ParserCreate().Parse(data, True)


def _marked(data: bytes) -> None:
    """A score is a zip, or XML in which a byte order mark counts before what is declared (XML 1.0, F.1)."""
    if not data.startswith(b"PK"):
        expat.ParserCreate("utf-8" if data.startswith(codecs.BOM_UTF8) else None).Parse(data, True)


def _html(data: bytes) -> None:
    if not data.rstrip().endswith(b"</html>"):
        raise ValueError("a page without an end")


def _png(data: bytes) -> None:
    if not data.startswith(b"\x89PNG"):
        raise ValueError("no picture")


def _toml(data: bytes) -> None:
    tomllib.loads(data.decode())


_READERS: dict[str, Callable[[bytes], object]] = {
    "png": _png,
    "decisions": _toml,
    "json": _json,
    "svg": _xml,
    "html": _html,
    "musicxml": _marked,
}
