"""The command as users meet it: run in this process, in one of its own, or on a terminal."""

import fcntl
import gc
import io
import json
import os
import pty
import struct
import subprocess
import sys
import termios
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest.mock import patch

from gripway.cli.app import main

DATA = Path(__file__).resolve().parents[1] / "data"
PICCOLO = DATA / "boulanger_matin_piccolo.musicxml"
FLUTE = DATA / "boulanger_matin_flute.musicxml"
REPEATS = DATA / "schubert_d485_flute.musicxml"
MAIN = sys.modules["__main__"]
"""Whose package would stand before the command's name in what it says of itself."""

PASSAGE = "E6 F#6 G#6 A6 | G#6 F#6 E6:1/4"
"""A passage at 160 that leaves the standard grips."""


@dataclass(frozen=True)
class Answer:
    """What the command gave: exit code, standard output (as bytes and text) and standard error."""

    code: int
    data: bytes
    err: str

    @property
    def out(self) -> str:
        """Standard output as text."""
        return self.data.decode("utf-8")

    @property
    def json(self) -> Any:
        """Standard output as JSON."""
        return json.loads(self.data)


def ask(*words: object, stdin: bytes = b"") -> Answer:
    """Run `gripway WORDS` in this process; an error that is not handled there fails the test."""
    streams = {"stdout": io.TextIOWrapper(io.BytesIO(), encoding="utf-8")}
    streams["stderr"] = io.TextIOWrapper(io.BytesIO(), encoding="utf-8", errors="backslashreplace")
    streams["stdin"] = io.TextIOWrapper(io.BytesIO(stdin), encoding="utf-8")
    argv = ["gripway", *map(str, words)]
    code: object = 0
    try:
        with patch.multiple(sys, argv=argv, **streams), patch.object(MAIN, "__package__", None):
            main()
    except SystemExit as end:
        code = end.code or 0
    finally:
        gc.enable()  # main switches it off for the short life of a command
    for name in ("stdout", "stderr"):
        streams[name].flush()
    out, err = (streams[name].buffer.getvalue() for name in ("stdout", "stderr"))  # type: ignore[attr-defined]
    assert isinstance(code, int)
    return Answer(code, out, err.decode("utf-8"))


def start(*words: object, **options: Any) -> subprocess.Popen[bytes]:
    """Start `python -m gripway WORDS` as a process of its own, its streams piped."""
    piped = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "stdin": subprocess.DEVNULL}
    return subprocess.Popen([sys.executable, "-m", "gripway", *map(str, words)], **(piped | options))


def on_a_terminal(*words: object, columns: int = 100, **environment: str) -> Answer:
    """Run the command with all streams on a terminal of this width; its whole text is `out`."""
    inside, outside = pty.openpty()
    fcntl.ioctl(outside, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
    plain = {key: text for key, text in os.environ.items() if key not in ("NO_COLOR", "COLUMNS", "LINES")}
    surroundings = plain | {"TERM": "xterm-256color"} | environment
    streams = dict.fromkeys(("stdin", "stdout", "stderr"), outside)
    process = start(*words, env=surroundings, **streams)
    os.close(outside)
    with open(inside, "rb", buffering=0) as screen:
        text = b"".join(iter(lambda: _read(screen), b""))
    return Answer(process.wait(), text.replace(b"\r\n", b"\n"), "")


def _read(screen: io.FileIO) -> bytes:
    try:
        return screen.read(65536) or b""
    except OSError:  # the other end of a terminal is closed with an error, not an end
        return b""
