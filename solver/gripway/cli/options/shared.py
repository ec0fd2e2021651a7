"""Options the commands share, and what their texts mean."""

from dataclasses import replace
from pathlib import Path

import click

from gripway.asked.found_wishes import FoundWishes, parse_wishes
from gripway.asked.pitches import asked_pitch
from gripway.asked.wishes import Pin
from gripway.cli.options.together import Decorator, together
from gripway.cli.talk import say
from gripway.edition.printed_pins import read_mark
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.player import PLAIN_PLAYER, Ban, Player
from gripway.score.xml.numerals import whole


def _own_file(context: click.Context, _option: click.Parameter, named: Path | None) -> Path | None:
    """The player file named, else the one found by itself, which is told."""
    if named is not None or context.resilient_parsing:
        return named
    from gripway.catalog.own_files.settings import own_player_file

    found = own_player_file()
    if found is None:
        return None
    say(f"remark: player file {found[0]}, from {found[1]}")
    return found[0]


_PLAYER = click.option(
    "--player",
    "player_file",
    type=click.Path(path_type=Path),
    metavar="FILE",
    callback=_own_file,
    help="The player's own file (TOML): flute, dials, hands, bans, known grips, tuner list  "
    "[default: player.toml in the settings folder].",
)
_PARTS = click.option(
    "--with",
    "parts",
    default="",
    metavar="PARTS",
    help="The flute's parts, with commas: b-foot, high-c, split-e, c-sharp-trill, open-g-sharp, open-holes.",
)


dial_option = click.option(
    "--dial",
    "dials",
    multiple=True,
    metavar="NAME=X",
    help="Turn a dial: speed, steadiness, tuning, familiarity or learning (0 to 4, 1 is plain).",
)
pin_option = click.option(
    "--pin",
    "pins",
    multiple=True,
    metavar="NOTE=GRIP",
    help='Keep a grip: --pin "3=T 1 | Eb", a note by its number in the text output or its id in the JSON.',
)
ban_option = click.option(
    "--ban",
    "bans",
    multiple=True,
    metavar="PITCH=GRIP",
    help='Never use a grip: --ban "F#6=T 1 3 | 3 Eb", or a kind: --ban harmonic.',
)
"""What every command that searches for a route lets a player turn, keep and forbid."""


def flute_options(default: str) -> Decorator:
    """--instrument, --with and --player; `default` says which instrument is taken without a name."""
    instrument = click.option(
        "--instrument",
        metavar="NAME",
        help=f"concert-flute, piccolo, alto-flute or bass-flute  [default: {default}].",
    )
    return together(instrument, _PARTS, _PLAYER)


def player_of(player_file: Path | None, dials: tuple[str, ...] = ()) -> Player:
    """The player from a file and `--dial` options; the options win."""
    player = PLAIN_PLAYER
    if player_file:
        from gripway.catalog.own_files.player_file import read_player

        player = read_player(player_file)
    turned = dict(player.dials) | dict(_dial(text) for text in dials)
    return replace(player, dials=tuple(turned.items()))


def _dial(text: str) -> tuple[str, float]:
    name, equals, value = text.partition("=")
    try:
        if not equals:
            raise ValueError
        turned = name.strip(), float(value)
    except ValueError:
        raise RequestError(
            f"{text!r} turns no dial", place="--dial", next_step="Write for example --dial tuning=2"
        ) from None
    from gripway.catalog.own_files.player_file import dial_fault

    if fault := dial_fault(*turned):
        raise RequestError(fault[0], place=f"--dial {text}", next_step=fault[1])
    return turned


def parts_of(text: str) -> tuple[str, ...]:
    """The parts named in `--with`."""
    return tuple(part.strip() for part in text.split(",") if part.strip())


def pin_of(text: str, notes: int) -> Pin:
    """A pin from `NOTE=GRIP`: NOTE is an id, or a number from 1 to `notes`, as the text shows it."""
    name, equals, grip = text.partition("=")
    if not equals:
        raise RequestError(
            f"{text!r} pins nothing", place="--pin", next_step='Write for example --pin "3=T 1 | Eb"'
        )
    note = name.strip()
    if not note.isdecimal():
        return Pin(note, grip_of(grip, f"--pin {text}"))
    number = whole(note)
    if number is None or not 0 < number <= notes:
        raise RequestError(
            f"there is no note {note}", place=f"--pin {text}", next_step=f"The notes are 1 to {notes}"
        )
    return Pin(number - 1, grip_of(grip, f"--pin {text}"))


def ban_of(text: str) -> Ban:
    """A ban from `PITCH=GRIP`, or a kind such as harmonic."""
    pitch, equals, grip = text.partition("=")
    if not equals:
        from gripway.catalog.own_files.player_file import BANNED_KINDS

        kind = text.strip()
        if kind not in BANNED_KINDS:
            raise RequestError(
                f"{text!r} bans nothing",
                place="--ban",
                next_step=f'Write --ban "F#6=T 1 3 | 3 Eb", or a kind: {", ".join(BANNED_KINDS)}',
            )
        return Ban(kind=kind)
    return Ban(asked_pitch(pitch, f"--ban {text}").number, grip_of(grip, f"--ban {text}"))


def grip_of(text: str, place: str) -> Grip:
    """A grip as the output prints it, with or without the hand letters."""
    try:
        return read_mark(text) if "|" in text else Grip.parse(text)
    except ValueError as problem:
        raise RequestError(
            str(problem), place=place, next_step='Write a grip as the output does: "T 1 3 | 2 Eb"'
        ) from None


def found_of(found: bool, wishes: tuple[str, ...]) -> FoundWishes | None:
    """The wishes for found grips; a wish asks for them by itself."""
    if not found and not wishes:
        return None
    return parse_wishes(wishes)


found_options = together(
    click.option("--found", is_flag=True, help="Grips that only the model knows, too: unconfirmed."),
    click.option(
        "--wish",
        "found_wishes",
        multiple=True,
        metavar="WORDS",
        help="What found grips must keep to: keep R2 R3; without Kd Kds; no trill keys; within 10 cents; "
        "one finger from T L1 L3 | R3 Eb.",
    ),
)
"""--found and --wish."""
