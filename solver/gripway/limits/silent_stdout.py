"""Nothing a library in C prints reaches standard output, where answers are written.

HiGHS, as OR-Tools 9.15 carries it, prints a line of its own whenever it has to repair a solution, whatever
it is told about output. Python's own output is not concerned; other threads may hush at the same time.
"""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from ctypes import CDLL
from dataclasses import dataclass
from threading import Lock

OUTPUT = 1


@dataclass(slots=True)
class _Hush:
    """How many are hushed at the moment, and where output really goes (-1: nowhere)."""

    count: int = 0
    kept: int = -1


_LOCK, _HUSH = Lock(), _Hush()


@contextmanager
def hushed() -> Iterator[None]:
    """Standard output goes nowhere inside."""
    with _LOCK:
        if not _HUSH.count:
            _HUSH.kept = _turned_off()
        _HUSH.count += 1
    try:
        yield
    finally:
        with _LOCK:
            _HUSH.count -= 1
            if not _HUSH.count and _HUSH.kept >= 0:
                _flush()
                os.dup2(_HUSH.kept, OUTPUT)
                os.close(_HUSH.kept)


def _turned_off() -> int:
    """Where output went before; -1 where it is closed."""
    if sys.stdout is not None:
        with suppress(OSError, ValueError):
            sys.stdout.flush()
    try:
        kept = os.dup(OUTPUT)
    except OSError:
        return -1
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, OUTPUT)
    os.close(nowhere)
    return kept


def _flush() -> None:
    """What C still holds back is written now; where C cannot be asked (Windows) it is written at the end."""
    with suppress(OSError, TypeError, AttributeError):
        CDLL(None).fflush(None)
