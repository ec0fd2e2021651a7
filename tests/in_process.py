"""The lines and blocks our documents show, run in this process where a process of their own adds nothing."""

import io
import os
import re
import shlex
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout
from functools import cache
from pathlib import Path
from unittest.mock import patch

from examples import regenerate
from tests.cli.run_gripway import ask
from tests.learnt_once import learnt_once

ROOT = regenerate.ROOT
OURS = re.compile(r"""(gripway (?:[^|<>&;$`'"]|'[^']*'|"[^"$`]*")*)(?:\|(?!\|)(.*))?""", re.DOTALL)
"""One command of ours and, after a pipe, what a shell makes of its answer."""

SURROUNDINGS = {
    "PATH": os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", "")]),
    "COLUMNS": "100",
}


@contextmanager
def as_shown() -> Iterator[None]:
    """In the project's own folder, 100 columns wide, without colour: as the documents are made."""
    before = Path.cwd()
    bare = {name: text for name, text in os.environ.items() if name not in ("FORCE_COLOR", "NO_COLOR")}
    os.chdir(ROOT)
    try:
        with patch.dict(os.environ, bare | SURROUNDINGS, clear=True):
            yield
    finally:
        os.chdir(before)


@cache
def run(command: str) -> str:
    """What a command line prints to standard output, as `regenerate.run` has it."""
    ours = OURS.fullmatch(command)
    if ours is None or "2>" in command:
        return REAL_RUN(command)
    with as_shown(), learnt_once():
        answer = ask(*shlex.split(ours[1])[1:])
        assert answer.code in (0, regenerate.GAPS), f"{command}\n{answer.err}"
        if ours[2] is None:
            return answer.out
        shell = ["bash", "-o", "pipefail", "-c", ours[2]]
        return subprocess.run(shell, input=answer.data, stdout=subprocess.PIPE, check=True).stdout.decode()


def run_python(code: str) -> str:
    """What a piece of Python prints."""
    printed = io.StringIO()
    with as_shown(), redirect_stdout(printed):
        exec(compile(code, "a block of a document", "exec"), {"__name__": "__main__"})  # noqa: S102 - our own documents
    return printed.getvalue()


REAL_RUN = regenerate.run


@contextmanager
def in_process() -> Iterator[None]:
    """Let `regenerate` run its lines and blocks in this process."""
    with patch.multiple(regenerate, run=run, run_python=run_python):
        yield
