"""Lines of notes and options: what a shell hands over, right, wrong and strange."""

import random
from functools import cache

import click
from tests.faults.damage import STRANGE_NUMBERS, few
from tests.faults.judging import Case, Section
from tests.faults.own_cases import HOUSE, PLAYER, RULES, TUNER
from tests.faults.seeds import bases

LINES = (
    "E6 F#6 G#6 A6 | G#6 F#6 E6:1/4",
    "mf (F#6 G6:1/8) r A6 ff B6",
    "C4:1/2 D4 Eb4 Fx5 Bbb5 C7:3/16",
    "(D6 E6) p F6",
    "|: mordent E6:1/4 turn/# F6 [1 G6 :| [2 A6 B6",
    "key:D |: tr E6:1/4 {F#6 G6} A6 :| key:Bbm (trb D6 {E6} F6)",
)
WORDS = (
    *("F#6", "Bb5", "r", "r:1/8", "(", ")", "|", "mf", "pp", "ff", "E6:1/8", "C4", "D7", "B9", "Fx6", "Ebb4", "E6:0"),
    *("E6:1/0", "E6:99999999", "E6:1/999983", ":1/8", "E6:", "F♯6", "B♭5", "H5", "Fis6", "c'''", "do5", "E-1", "e6", "E66"),
    *("key:A", "key:", "key:H", "key:C##", "tr", "tr#", "trn", "trx", "{", "}", "{F6}", "{F6 G6}", "{F6:1/8}", "|:", ":|", ":|:"),
    *("mordent", "mordentb", "turn", "turn#/b", "turn/", "inverted-turn", "[1", "[2", "[3", "["),
    *("E6)", "(E6", "((E6", "E6))", "E6):1/8", "\0", "\x1b[2J", "\udcff", "😀", "", "\u202e", "-", "--", "E6|F6", "é", "٣"),
)  # fmt: skip
LENGTHS = tuple(f"{over}/{under}" for over in (1, 3, 5, 7) for under in (3, 4, 8, 12, 16, 32, 64, 999))
TEXTS = (
    *("", " ", "x", "\udcff", "♯", "a" * 5000, "-", "--", "/dev/null", "/dev/zero", "/dev/full", ".", "..", "nowhere/x"),
    *("part.xml", "player.toml", "rules.toml", "house.toml", "tuner.csv", "E6", "F♯6", "T 1 3 | 2 Eb", "T 1 | Eb", "|"),
    *("n1", "1", "all", "Flute", "1-2", "2-1", "12-", "-", "X", "1/16", "1/0", "0/1", "b-foot", "b-foot,high-c", ",", "piccolo"),
    *("F#6=T 1 3 | 3 Eb", "harmonic", "1=T 1 2 | Eb", "=", "==", "speed=2", "speed=nan", "tuning=1e9", "at most 3 unusual grips"),
    *("thumb stays in bars 1-2", "tuning within 120 cents", "keep R2 R3", "within 10 cents", "C major", "D minor", "2"),
)  # fmt: skip
FILES = {"player.toml": PLAYER, "rules.toml": RULES, "house.toml": HOUSE, "tuner.csv": TUNER}
SLOW = ("cells", "graph", "help", "serve", "completion")
"""Commands that answer slowly, or always the same: asked more seldom; serve, which does not end, never."""


def _line(chance: random.Random) -> Case:
    words = chance.choice(LINES).split()
    for _ in range(few(chance, 7)):
        at = chance.randrange(len(words) + 1)
        match chance.randrange(4):
            case 0:
                words.insert(at, chance.choice(WORDS))
            case 1:
                words[at : at + 1] = [chance.choice(WORDS)]
            case 2 if at < len(words) and words[at]:
                place = chance.randrange(len(words[at]))
                words[at] = words[at][:place] + chance.choice("()|:{}/#bx19 '♯♭\u00a0𝄪-") + words[at][place:]
            case _:
                words.insert(at, "E6:" + chance.choice((*LENGTHS, *STRANGE_NUMBERS)))
    more: tuple[str, ...] = ()
    if chance.random() < 0.15:
        more = (
            chance.choice(("--tempo", "--unit", "--pin", "--ban", "--limit")),
            chance.choice(STRANGE_NUMBERS + TEXTS),
        )
    form = chance.choice(("json",) * 20 + ("musicxml", "csv"))
    return Case(("finger", f"--notes={' '.join(words)}", "--format", form, *more), form=form)


@cache
def _commands() -> dict[str, list[click.Parameter]]:
    from gripway.cli.app import gripway

    context = click.Context(gripway)
    found = {name: gripway.get_command(context, name) for name in gripway.list_commands(context)}
    return {name: command.params for name, command in found.items() if command and name != "serve"}


def _options(chance: random.Random) -> Case:
    names = [name for name in _commands() for _ in range(1 if name in SLOW else 8)]
    name = chance.choice(names)
    words = [name]
    if name in ("finger", "practise") and chance.random() < 0.7:
        words.append(f"--notes={chance.choice(LINES)}")
    elif name in ("finger", "practise", "consistency"):
        words.append("part.xml")
    elif name in ("grips", "diagram", "trill"):
        words += ["F#6", "G6"][: 2 if name == "trill" else 1]
    form = ""
    for option in chance.choices(_commands()[name], k=chance.randrange(4)):
        if not isinstance(option, click.Option):
            words.append(chance.choice(TEXTS))
        elif option.is_flag:
            words.append(option.opts[-1])
        else:
            value = _value(option, chance)
            words.append(f"{max(option.opts, key=len)}={value}")
            form = value if option.opts[0] == "--format" else form
    files = {**FILES, "part.xml": bases()[0]}
    on_screen = not any(word.startswith("--out=") for word in words)
    shown = form if on_screen and form in ("json", "musicxml", "html", "svg", "png") else ""
    return Case(tuple(words), files=files, form=shown)


def _value(option: click.Option, chance: random.Random) -> str:
    if isinstance(option.type, click.Choice) and chance.random() < 0.9:
        return str(chance.choice(list(option.type.choices)))
    if option.opts[0] in ("--out", "--log"):
        return chance.choice(
            ("out.x", "part.xml", "player.toml", "/dev/full", "/dev/null", ".", "nowhere/x", "")
        )
    numbers = (*STRANGE_NUMBERS, "1", "2", "60", "120")
    return chance.choice(numbers if chance.random() < 0.4 else TEXTS)


NOTES = Section("lines of notes", _line)
OPTIONS = Section("options", _options)
