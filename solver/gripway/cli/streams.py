"""The three standard streams of a process, whatever it was started with."""

import io
import os
import sys
from typing import Any, cast

READ, SAY, TALK = 0, 1, 2


class _Talk(io.FileIO):
    """Standard error whose words vanish where nobody can take them: talk never ends a command."""

    def write(self, data: bytes, /) -> int:  # type: ignore[override]
        try:
            return super().write(data) or 0
        except OSError:
            return len(data)


def open_streams() -> None:
    """Give a process that was started without one of its streams a stand-in.

    So no file of ours is opened in its place. Reading gives nothing; what is written to a closed
    standard output fails as such; what is said to a standard error that is closed or full is lost.
    """
    for number, flags in ((READ, os.O_RDONLY), (SAY, os.O_RDONLY), (TALK, os.O_WRONLY)):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, flags)  # the lowest free number, which is this one
    if sys.stdin is None:
        sys.stdin = io.TextIOWrapper(
            io.BufferedReader(io.FileIO(READ, "rb", closefd=False)), encoding="utf-8"
        )
    if sys.stdout is None:
        raw = io.FileIO(SAY, "wb", closefd=False)
        sys.stdout = io.TextIOWrapper(io.BufferedWriter(raw), encoding="utf-8")
    encoding = sys.stderr.encoding if sys.stderr is not None else "utf-8"
    talk: Any = io.BufferedWriter(cast(Any, _Talk(TALK, "wb", closefd=False)))
    sys.stderr = io.TextIOWrapper(talk, encoding=encoding, errors="backslashreplace", line_buffering=True)


def drop_stdout() -> None:
    """Let what is still to be written to standard output vanish, as nobody can take it."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), SAY)
