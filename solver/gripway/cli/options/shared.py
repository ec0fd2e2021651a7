"""Options the commands share, and what their texts mean."""

from dataclasses import replace
from pathlib import Path

import click

from gripway.asked.found_wishes import FoundWishes, parse_wishes
from gripway.cli.options.together import Decorator, file_option, together
from gripway.cli.stderr_messages import say
from gripway.errors import RequestError
from gripway.model.player import PLAIN_PLAYER, Player


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


_PLAYER = file_option(
    "--player",
    "player_file",
    "The player's own file (TOML): flute, dials, hands, bans, known grips, tuner list  "
    "[default: player.toml in the settings folder].",
    callback=_own_file,
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


class _InstrumentOption(click.Option):
    """--instrument, whose help lists the instruments there are tables for."""

    def get_help_record(self, ctx: click.Context) -> tuple[str, str] | None:
        """What the option takes, read when the help is asked for: a player's own flutes are among them."""
        from gripway.catalog.flute.instruments import instrument_names

        *others, last = instrument_names()
        record = super().get_help_record(ctx)
        return record and (record[0], f"{', '.join(others)} or {last}  {record[1]}")


def flute_options(default: str) -> Decorator:
    """--instrument, --with and --player; `default` says which instrument is taken without a name."""
    instrument = click.option(
        "--instrument", metavar="NAME", cls=_InstrumentOption, help=f"[default: {default}]."
    )
    return together(instrument, _PARTS, _PLAYER)


def every_part_options(where: str = "") -> Decorator:
    """--part, --voice and --tempo of commands for all flutes of their scores; `where` follows `number`."""
    return together(
        click.option(
            "--part",
            "wanted_parts",
            multiple=True,
            metavar="NAME",
            help=f"Part by name or number{where}, as often as wanted  [default: all flutes].",
        ),
        click.option("--voice", metavar="N", help="Voice of the parts  [default: the first]."),
        click.option(
            "--tempo",
            type=float,
            metavar="QPM",
            help="Quarter notes a minute for most notes; other printed tempos in proportion.",
        ),
    )


def player_of(player_file: Path | None, dials: tuple[str, ...] = (), *, to_write: bool = False) -> Player:
    """The player from a file and `--dial` options; the options win.

    A file that is `to_write` need not be there yet.
    """
    player = PLAIN_PLAYER
    if player_file and not (to_write and not player_file.exists()):
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
