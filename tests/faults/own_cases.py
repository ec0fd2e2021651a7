"""Damaged files of a player's own, and a practice log."""

import json
import random
import re
from collections.abc import Callable

from tests.faults.damage import STRANGE_NUMBERS, damaged, damaged_bytes, damaged_lines, damaged_numbers, few
from tests.faults.judging import Case, Section
from tests.faults.seeds import EXAMPLES

VALUES = (
    *(
        "true",
        "false",
        "[]",
        "{}",
        '""',
        '"x"',
        "1",
        "-1",
        "0.5",
        "nan",
        "inf",
        "-inf",
        "1e400",
        "[[]]",
        '["a", 1]',
    ),
    *(
        "2026-03-01",
        "07:32:00",
        "{a = 1}",
        "'''x'''",
        '"\\u0000"',
        '"' + "x" * 20_000 + '"',
        "[" * 200 + "]" * 200,
    ),
    *(
        "9" * 400,
        "9" * 5000,
        '["F#6=T 1 3 | 3 Eb"]',
        '["harmonic"]',
        '"♯"',
        '"../../x"',
        '"/dev/zero"',
        '"a\\u0000b"',
    ),
)
"""Values of TOML, of every type it has, in and out of all bounds."""

PASSAGE = ("--notes", "E6 F#6 (G#6 A6) E6:1/8", "--tempo", "140")
PLAYER = (EXAMPLES / "player.toml").read_bytes()
RULES = (EXAMPLES / "rules.toml").read_bytes()
HOUSE = (EXAMPLES / "house_style.toml").read_bytes()
TUNER = (EXAMPLES / "tuner.csv").read_bytes()
DECISIONS = (EXAMPLES / "decisions.toml").read_bytes()
DECIDED = (EXAMPLES / "weathercock_part.musicxml").read_bytes()
ASKED = {
    "score": None, "notes": "(A5 B5 C#6 D6 E6 F#6 G#6)", "wanted_parts": [], "voice": None, "bars": None,
    "tempo": 200.0, "unit": "1/16", "instrument": None, "parts": "", "player_file": None, "dials": [],
    "pins": [], "bans": [], "choose": "effort", "minutes": 8, "days": 2, "order": "blocked", "most": 1,
}  # fmt: skip
MARK = {"log": "gripway practice log", "when": "2026-03-01T10:00:00"}
ENTRIES = (
    MARK | {"kind": "plan", "passage": "", "title": "", "asked": ASKED},
    MARK | {"kind": "day", "met": {"D6 E6": 2}},
    MARK | {"kind": "reached", "cell": "a", "notes": "D6 E6", "quarters": 60, "target": 200},
)
ODD_VALUES = (
    None,
    True,
    -1,
    0,
    1.5,
    10**30,
    "",
    "x",
    "\0",
    [],
    [1],
    {},
    {"a": 1},
    [[]],
    ["3=T | Eb"],
    "9" * 5000,
)


def damaged_values(data: bytes, chance: random.Random) -> bytes:
    """Values of a TOML text replaced by others of any type, keys renamed, tables doubled."""
    text = data.decode("utf-8", "surrogateescape")
    for _ in range(few(chance, 3)):
        pairs = list(re.finditer(r"(?m)^([\w.\"-]+)\s*=\s*(.*)$", text))
        if not pairs:
            break
        pair = chance.choice(pairs)
        match chance.randrange(8):
            case 0 | 1 | 2 | 3 | 4:
                text = text[: pair.start(2)] + chance.choice(VALUES) + text[pair.end(2) :]
            case 5 | 6:
                key = chance.choice([*(other[1] for other in pairs), "x", '""', "a.b.c", '"♯"'])
                text = text[: pair.start(1)] + key + text[pair.end(1) :]
            case _:
                head = chance.choice(re.findall(r"(?m)^\[.*\]$", text) or ["[x]"])
                text = text[: pair.start()] + head + "\n" + text[pair.start() :]
    return text.encode("utf-8", "surrogateescape")


def damaged_log(chance: random.Random) -> bytes:
    """A log with entries whose values are odd, and lines that are damaged."""
    lines = []
    for entry in ENTRIES[: chance.randrange(1, 4)]:
        changed = json.loads(json.dumps(entry))
        holder = changed["asked"] if "asked" in changed and chance.random() < 0.8 else changed
        if chance.random() < 0.6:
            holder[chance.choice(list(holder))] = chance.choice(ODD_VALUES)
        line = json.dumps(changed).encode()
        if chance.random() < 0.3:
            line = damaged(line, chance, damaged_bytes, damaged_numbers)
        lines.append(line)
    end = b"" if chance.random() < 0.2 else b"\n"
    return b"\n".join(lines) + end


def _own(data: bytes, chance: random.Random) -> bytes:
    return damaged(
        data, chance, damaged_bytes, damaged_lines, damaged_numbers, damaged_values, damaged_values
    )


def _player(chance: random.Random) -> Case:
    files = {"player.toml": _own(PLAYER, chance), "tuner.csv": TUNER}
    return Case(("finger", *PASSAGE, "--format", "json", "--player", "player.toml"), files=files, form="json")


def _rules(chance: random.Random) -> Case:
    words = ("finger", *PASSAGE, "--format", "json", "--rules", "rules.toml", "--time-limit", "2")
    return Case(words, files={"rules.toml": _own(RULES, chance)}, form="json")


def _house(chance: random.Random) -> Case:
    form = chance.choice(("critical", "musicxml"))
    words = ("finger", *PASSAGE, "--format", form, "--house-style", "house.toml")
    return Case(words, files={"house.toml": _own(HOUSE, chance)}, form=form)


def _decisions(chance: random.Random) -> Case:
    form = chance.choice(("json", "decisions", "critical", "musicxml"))
    bars = chance.choice(("9-12", "20", "9-20"))
    words = ("finger", "part.xml", "--bars", bars, "--format", form, "--decisions", "decisions.toml")
    return Case(words, files={"part.xml": DECIDED, "decisions.toml": _own(DECISIONS, chance)}, form=form)


def _tuner(chance: random.Random) -> Case:
    files = {
        "player.toml": b'[cents]\nfile = "tuner.csv"\n',
        "tuner.csv": damaged(TUNER, chance, damaged_bytes, damaged_lines, damaged_numbers),
    }
    return Case(("grips", "F#6", "--format", "json", "--player", "player.toml"), files=files, form="json")


def _practice(chance: random.Random) -> Case:
    reached = () if chance.random() < 0.5 else ("--reached", f"1={chance.choice(STRANGE_NUMBERS)}")
    words = ("practise", "--log", "my.log", *reached, "--format", "json")
    return Case(words, files={"my.log": damaged_log(chance)}, form="json")


_MAKERS: tuple[tuple[str, Callable[[random.Random], Case]], ...] = (
    ("player files", _player), ("rules", _rules), ("house styles", _house), ("tuner lists", _tuner),
    ("decisions", _decisions),
)  # fmt: skip
OWN_FILES = tuple(Section(name, make) for name, make in _MAKERS)
LOGS = Section("practice logs", _practice)
