"""The player's practice log: a text file, one JSON object a line, only ever added to.

A line is written by one append and flushed to the disk. A line that was cut off, by whatever
interruption, is passed over on reading and never joined with the next.
"""

import json
import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gripway.errors import PlayerFileError

MARK = "gripway practice log"
HEAD = json.dumps({"log": MARK})[:-1]
"""How every line begins."""


@dataclass(frozen=True, slots=True)
class LogLines:
    """The whole lines of a log, in order, and the numbers of the lines that cannot be read."""

    entries: tuple[Mapping[str, Any], ...]
    broken: tuple[int, ...] = ()


def read_log(path: Path) -> LogLines:
    """The entries of a log; none where there is no file yet.

    Raises PlayerFileError for what cannot be read, or is some other file.
    """
    try:
        lines = path.read_bytes().split(b"\n")
    except FileNotFoundError:
        return LogLines(())
    except OSError as problem:
        raise PlayerFileError(
            f"cannot be read: {problem.strerror}", place=str(path), next_step="Name another --log"
        ) from None
    entries: list[Mapping[str, Any]] = []
    broken: list[int] = []
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        entry = _entry(line)
        if entry is None:
            _refuse_other_file(path, line, entries)
            broken.append(number)
        else:
            entries.append(entry)
    return LogLines(tuple(entries), tuple(broken))


def append(path: Path, entries: Iterable[Mapping[str, Any]]) -> None:
    """Add entries at the end of a log, all or none of them as far as the disk allows.

    Raises PlayerFileError when the file is some other file or cannot be written.
    """
    read_log(path)
    text = "".join(json.dumps({"log": MARK, **entry}, ensure_ascii=False) + "\n" for entry in entries)
    try:
        file = os.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT, 0o666)
        try:
            data = (b"" if _ends_whole(file) else b"\n") + text.encode()
            while data:
                data = data[os.write(file, data) :]
            os.fsync(file)
        finally:
            os.close(file)
    except OSError as problem:
        raise PlayerFileError(
            f"cannot be written: {problem.strerror}", place=str(path), next_step="Name another --log"
        ) from None


def _entry(line: bytes) -> Mapping[str, Any] | None:
    try:
        value = json.loads(line)
    except ValueError:
        return None
    return value if isinstance(value, dict) and value.get("log") == MARK else None


def _refuse_other_file(path: Path, line: bytes, before: list[Mapping[str, Any]]) -> None:
    """A line that is no entry must at least be the beginning of one, or stand in a log."""
    head = HEAD.encode()
    if not before and not line.startswith(head) and not head.startswith(line):
        raise PlayerFileError(
            "is not a practice log", place=str(path), next_step="Name another --log; this file was left alone"
        )


def _ends_whole(file: int) -> bool:
    """Whether the file is empty or ends with a line end."""
    size = os.fstat(file).st_size
    return size == 0 or os.pread(file, 1, size - 1) == b"\n"
