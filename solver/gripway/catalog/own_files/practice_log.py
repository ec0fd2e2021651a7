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
from gripway.files import check_writable, read_bounded

MARK = "gripway practice log"
MOST_BYTES = 16 * 1024 * 1024
"""Longest log read (judgement: a day has a kilobyte)."""

HEAD = json.dumps({"log": MARK})[:-1]
"""How every line begins."""


@dataclass(frozen=True, slots=True)
class LogLines:
    """The whole lines of a log, in order, their numbers, and those of the lines that cannot be read."""

    entries: tuple[Mapping[str, Any], ...]
    numbers: tuple[int, ...] = ()
    broken: tuple[int, ...] = ()


def read_log(path: Path) -> LogLines:
    """The entries of a log; none where there is no file yet.

    A line that was cut off is passed over. Raises PlayerFileError for what cannot be read or is some
    other file, and for a line that was not written by us; RequestError for what is no plain file or is
    set to be read only.
    """
    try:
        if check_writable(path) is None:
            return LogLines(())
        lines = read_bounded(path, MOST_BYTES).split(b"\n")
    except OSError as problem:
        raise PlayerFileError(
            f"cannot be read: {problem.strerror}", place=str(path), next_step="Name another log"
        ) from None
    entries: list[Mapping[str, Any]] = []
    numbers: list[int] = []
    broken: list[int] = []
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        entry = _entry(line)
        if entry is None:
            _refuse_what_is_not_cut_off(path, number, line, first=not entries and not broken)
            broken.append(number)
        else:
            entries.append(entry)
            numbers.append(number)
    return LogLines(tuple(entries), tuple(numbers), tuple(broken))


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
            f"cannot be written: {problem.strerror}", place=str(path), next_step="Name another log"
        ) from None


def _entry(line: bytes) -> Mapping[str, Any] | None:
    try:
        value = json.loads(line, parse_constant=_no_constant)
    except (ValueError, RecursionError):  # also digits that Python will not count
        return None
    return value if isinstance(value, dict) and value.get("log") == MARK else None


def _no_constant(name: str) -> float:
    raise ValueError(name)  # Infinity and NaN are no JSON


def _refuse_what_is_not_cut_off(path: Path, number: int, line: bytes, *, first: bool) -> None:
    """A line that is no entry must be the beginning of one, or what a lost write leaves (NUL bytes)."""
    line, head = line.strip(b"\0\r"), HEAD.encode()
    begins = line.startswith(head) or head.startswith(line)
    if first and not (begins and line):
        raise PlayerFileError(
            "is not a practice log", place=str(path), next_step="Name another log; this file was left alone"
        )
    if not begins or line.endswith(b"}"):
        raise odd_line(path, number, "this is no line of a practice log")


def odd_line(path: Path, number: int, why: str) -> PlayerFileError:
    """The error for a line (from 1) that says what no log of ours says."""
    return PlayerFileError(
        why, place=f"{path}: line {number}", next_step="Mend that line or take it out; the log was left alone"
    )


def _ends_whole(file: int) -> bool:
    """Whether the file is empty or ends with a line end."""
    size = os.fstat(file).st_size
    return size == 0 or os.pread(file, 1, size - 1) == b"\n"
