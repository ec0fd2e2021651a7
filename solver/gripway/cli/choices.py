"""Options the commands share, and what their texts mean."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from gripway.catalog.player_file import read_player
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch
from gripway.model.player import PLAIN_PLAYER, Ban, Player
from gripway.route.request import Pin

Command = Callable[..., Any]


_PLAYER = click.option(
    "--player",
    "player_file",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="The player's own file (TOML): flute, dials, hands, bans, known grips, tuner list.",
)
_PARTS = click.option(
    "--with",
    "parts",
    default="",
    metavar="PARTS",
    help="The flute's parts, with commas: b-foot, high-c, split-e, c-sharp-trill, open-g-sharp, open-holes.",
)
_INSTRUMENT = click.option(
    "--instrument",
    metavar="NAME",
    help="concert-flute, piccolo, alto-flute or bass-flute  [default: what the part sounds like].",
)


def flute_options(command: Command) -> Command:
    """--instrument, --with and --player."""
    for option in (_PLAYER, _PARTS, _INSTRUMENT):
        command = option(command)
    return command


def player_of(player_file: Path | None, dials: tuple[str, ...] = ()) -> Player:
    """The player from a file and `--dial` options; the options win."""
    from dataclasses import replace

    player = read_player(player_file) if player_file else PLAIN_PLAYER
    turned = dict(player.dials) | dict(_dial(text) for text in dials)
    return replace(player, dials=tuple(turned.items()))


def _dial(text: str) -> tuple[str, float]:
    name, equals, value = text.partition("=")
    try:
        if not equals:
            raise ValueError
        return name.strip(), float(value)
    except ValueError:
        raise RequestError(
            f"{text!r} turns no dial", place="--dial", next_step="Write for example --dial tuning=2"
        ) from None


def parts_of(text: str) -> tuple[str, ...]:
    """The parts named in `--with`."""
    return tuple(part.strip() for part in text.split(",") if part.strip())


def pin_of(text: str) -> Pin:
    """A pin from `NOTE=GRIP`, where NOTE is a note's id or index."""
    name, equals, grip = text.partition("=")
    if not equals:
        raise RequestError(f"{text!r} pins nothing", place="--pin", next_step='Write --pin "n3=T L1 | Eb"')
    note = name.strip()
    return Pin(int(note) if note.isdigit() else note, _grip(grip, "--pin"))


def ban_of(text: str) -> Ban:
    """A ban from `PITCH=GRIP`, or a kind such as harmonic."""
    pitch, equals, grip = text.partition("=")
    if not equals:
        kind = text.strip()
        if kind not in ("alternate", "vented", "trill", "harmonic"):
            raise RequestError(
                f"{text!r} bans nothing",
                place="--ban",
                next_step='Write --ban "F#6=T L1 L3 | R3 Eb", or a kind: alternate, vented, trill, harmonic',
            )
        return Ban(kind=kind)
    return Ban(pitch_of(pitch, "--ban").number, _grip(grip, "--ban"))


def pitch_of(text: str, place: str) -> Pitch:
    """A pitch, or RequestError with the option it stood in."""
    try:
        return Pitch.parse(text)
    except ValueError as problem:
        raise RequestError(str(problem), place=place) from None


def _grip(text: str, place: str) -> Grip:
    try:
        return Grip.parse(text)
    except ValueError as problem:
        raise RequestError(str(problem), place=place) from None
