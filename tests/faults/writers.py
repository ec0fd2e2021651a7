"""Every writer, killed at random moments and on a disk that fills up: an old file, a new one, or none."""

import json
import os
import random
import resource
import shutil
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

from tests.cli.run_gripway import ask
from tests.faults.judging import ANSWERED, REFUSED
from tests.faults.own_cases import ENTRIES

NOTES = ("--notes", "E6 F#6 (G#6 A6) E6:1/8", "--tempo", "140")
LOGGED = ("--notes", "(A5 B5 C#6 D6 E6 F#6 G#6)", "--tempo", "200", "--days", "2", "--cells", "1")
WRITERS: dict[str, tuple[str, ...]] = {
    "answer, text": ("finger", *NOTES, "--out", "out"),
    "answer, JSON": ("finger", *NOTES, "--format", "json", "--out", "out"),
    "marked score": ("finger", "part.xml", "--format", "musicxml", "--out", "out.musicxml"),
    "graph": ("graph", "--from", "D6", "--to", "F6", "--format", "graphml", "--out", "out.graphml"),
    "diagram": ("diagram", "F#6", "--out", "out"),
    "drills": ("practise", *LOGGED, "--format", "musicxml", "--out", "out.musicxml"),
    "practice log": ("practise", *LOGGED, "--log", "my.log", "--reached", "1=60"),
    "kept files": ("grips", "F#6", "--found"),
}
OLD = b"what stood here before\n"


def _place(words: tuple[str, ...]) -> str:
    """The file that a writer writes, in the working folder."""
    return next((words[at + 1] for at, word in enumerate(words) if word in ("--out", "--log")), "cache")


def prepared(folder: Path, score: bytes) -> dict[str, bytes]:
    """The whole answer of each writer, made once; this also loads all that is needed."""
    os.chdir(folder)
    Path("part.xml").write_bytes(score)
    whole = {}
    for name, words in WRITERS.items():
        answer = ask(*words)
        assert answer.code == 0, (name, answer.err)
        place = Path(_place(words))
        whole[name] = place.read_bytes() if place.is_file() else b""
        place.unlink() if place.is_file() else None
    return whole


def time_of(name: str) -> float:
    """Seconds that a writer takes from beginning to end."""
    _clear(name)
    began = time.monotonic()
    os.waitpid(in_a_child(lambda: ask(*WRITERS[name]).code), 0)
    return time.monotonic() - began


def in_a_child(act: Callable[[], int]) -> int:
    """Start a copy of this process that does something and ends; its process id."""
    sys.stdout.flush()
    child = os.fork()
    if child == 0:
        code = 99
        try:
            code = act()
        finally:
            os._exit(code)
    return child


def killed(name: str, whole: bytes, chance: random.Random, took_s: float) -> str:
    """A writer killed (SIGKILL) at a random moment; `answered` where what is left is what may be left."""
    words, there = WRITERS[name], chance.random() < 0.5
    place = Path(_place(words))
    _clear(name)
    before = _good_log() if name == "practice log" else OLD
    if there and name != "kept files":
        place.write_bytes(before)
    child = in_a_child(lambda: ask(*words).code)
    time.sleep(chance.uniform(0, took_s))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    left = [each.name for each in Path().rglob(".gripway-*")]
    if left:
        return f"left beside the file: {left[0]}"
    if name == "practice log":
        return _log_holds(place, before if there else b"")
    if name == "kept files":
        return ANSWERED if ask(*words).code == 0 else "kept files of a killed process are in the way"
    now = place.read_bytes() if place.exists() else None
    return (
        ANSWERED
        if now in ((OLD,) if there else (None,)) or now == whole
        else f"half a file: {len(now or b'')} bytes"
    )


def full(name: str, whole: bytes, chance: random.Random) -> str:
    """A writer that may not write more than some bytes: refused with a word, the old file as it was."""
    words, there = WRITERS[name], chance.random() < 0.5
    place, most = Path(_place(words)), chance.randrange(max(1, len(whole)))
    before = _good_log() if name == "practice log" else OLD
    _clear(name)
    if there and name != "kept files":
        place.write_bytes(before)
        most = max(most, len(before))

    def act() -> int:
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
        answer = ask(*words)
        return (
            90
            if "Traceback" in answer.err
            or (answer.code == 2 and "gripway: " not in answer.err and '"error": ' not in answer.err)
            else answer.code
        )

    child = in_a_child(act)
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    if list(Path().rglob(".gripway-*")):
        return "left beside the file"
    if name == "kept files":
        return ANSWERED if code == 0 else f"exit {code}"
    if name == "practice log":
        held = _log_holds(place, before if there else b"")
        return held if held != ANSWERED or code == 0 else REFUSED if code == 2 else f"exit {code}"
    now = place.read_bytes() if place.exists() else None
    if code == 2 and now == (OLD if there else None):
        return REFUSED
    return ANSWERED if code == 0 and now == whole else f"exit {code}, {len(now or b'')} bytes"


def _clear(name: str) -> None:
    for path in (*Path().glob("out*"), *Path().glob("my.log")):
        path.unlink()
    if name == "kept files":
        shutil.rmtree(os.environ["XDG_CACHE_HOME"], ignore_errors=True)


def _good_log() -> bytes:
    return b"".join(json.dumps(entry).encode() + b"\n" for entry in ENTRIES[1:])


def _log_holds(place: Path, before: bytes) -> str:
    """The old lines stand as they were, and the log can be gone on with."""
    now = place.read_bytes() if place.exists() else b""
    if not now.startswith(before):
        return "a line of the log is lost"
    answer = ask(*WRITERS["practice log"])
    return ANSWERED if answer.code == 0 else f"the log cannot be gone on with: {answer.err[-200:]}"
