"""Odd homes, locales, terminals, streams and clocks: a process of its own for each."""

import os
import random
import subprocess
import sys
from pathlib import Path

from tests.cli.run_gripway import Answer, on_a_terminal
from tests.faults.judging import ANSWERED, judged

HOMES = (
    None,
    "",
    "/nonexistent",
    "/dev/null",
    "relative",
    "/proc",
    "/root/\udcff",
    "/" + "x" * 300,
    "/etc/hostname",
)
LOCALES = (
    "C",
    "POSIX",
    "C.UTF-8",
    "en_US.ISO-8859-1",
    "tr_TR.UTF-8",
    "ja_JP.SJIS",
    "nonsense",
    "",
    "x" * 500,
)
TERMS = ("dumb", "xterm-256color", "", "nonsense", "linux", "vt52", "\udcff")
COLUMNS = ("", "0", "-1", "1", "5", "80", "99999", "x", "9" * 50)
ENCODINGS = ("", "ascii", "latin-1", "utf-16", "cp1252:strict", "utf-8:strict")
QUESTIONS = (
    ("finger", "--notes", "E6 F#6 G#6 A6", "--tempo", "140"),
    ("finger", "--notes", "E6 F♯6", "--format", "json"),
    ("grips", "F#6", "--explain"),
    ("grips", "F#6", "--found"),
    ("trill", "F6", "G6"),
    ("help", "finger"),
    ("practise", "--notes", "(A5 B5 C#6 D6 E6)", "--tempo", "200", "--days", "1"),
    ("finger", "nothing-♯.xml"),
    ("--help",),
)  # fmt: skip


def surroundings(chance: random.Random) -> dict[str, str]:
    """An environment that has little in common with a usual one."""
    odd = {key: text for key, text in os.environ.items() if key not in ("HOME", "LANG", "LC_ALL", "TERM")}
    for key in ("HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME"):
        home = chance.choice(HOMES)
        odd.pop(key, None)
        if home is not None:
            odd[key] = home
    odd |= {"LC_ALL": chance.choice(LOCALES), "TERM": chance.choice(TERMS), "COLUMNS": chance.choice(COLUMNS)}
    odd["PYTHONIOENCODING"], odd["PYTHONUTF8"] = chance.choice(ENCODINGS), chance.choice(("0", "1"))
    if chance.random() < 0.3:
        odd["NO_COLOR"] = "1"
    return odd


def odd_place(chance: random.Random) -> str:
    """A question asked in odd surroundings: piped, on a terminal of an odd width, or with closed streams."""
    words, odd = chance.choice(QUESTIONS), surroundings(chance)
    if chance.random() < 0.3:
        answer = on_a_terminal(*words, columns=chance.choice((0, 1, 3, 20, 80, 1000)), **odd)
        codes = (0, 1, 2)
        return (
            ANSWERED
            if answer.code in codes and "Traceback" not in answer.out
            else f"{words} {odd}: {answer.out[-200:]}"
        )
    closed = chance.choice(("", "", "", "<&-", "2>&-", ">&-", ">&- 2>&- <&-"))
    line = f'"$0" -m gripway "$@" {closed}'
    ran = subprocess.run(
        ["sh", "-c", line, sys.executable, *words], capture_output=True, env=odd, check=False
    )
    codec = odd["PYTHONIOENCODING"].partition(":")[0] or "utf-8"
    answer = Answer(ran.returncode, ran.stdout, ran.stderr.decode(codec, "replace"))
    if closed and answer.code in (0, 1, 2):
        return ANSWERED if "Traceback" not in answer.err else f"{words} {closed}: {answer.err[-200:]}"
    found = judged(answer, "json" if "json" in words else "")
    return found if " " not in found else f"{words} {odd}: {found}"


def clock(chance: random.Random, folder: Path) -> str:
    """A log written on days that do not follow one another: every run answers."""
    from datetime import datetime
    from unittest.mock import patch

    from tests.cli.run_gripway import ask

    class Clock(datetime):
        """A clock that shows any time from year 1 to 9999."""

        @classmethod
        def now(cls, tz: object = None) -> "Clock":  # type: ignore[override]
            return cls(
                chance.choice((1, 1970, 2026, 2026, 9999)), chance.randrange(1, 13), 1, chance.randrange(24)
            )

    log = folder / "clock.log"
    log.unlink(missing_ok=True)
    begin = ("--notes", "(A5 B5 C#6 D6 E6)", "--tempo", "200", "--days", "3", "--minutes", "8")
    with patch("gripway.cli.commands.practise_command.datetime", Clock):
        for words in (begin, *[("--reached", f"1={chance.randrange(40, 120)}")] * 4, ()):
            answer = ask("practise", *words, "--log", log)
            if answer.code != 0 or "Traceback" in answer.err:
                return f"exit {answer.code}: {answer.err[-200:]}"
    return ANSWERED
