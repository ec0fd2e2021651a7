"""`gripway own-times [FILE]...`: which pairs to record; what recordings say of the fingers."""

from pathlib import Path
from typing import Any

import click

from gripway.cli.options.heads import Headed
from gripway.cli.options.passage_choice import refuse
from gripway.cli.options.shared import flute_options, parts_of, player_of
from gripway.cli.options.sound_options import a4_of, a4_option
from gripway.cli.options.together import form_option
from gripway.cli.output import as_json, check_out, out_option, write_out
from gripway.cli.progress import progress_when_long
from gripway.cli.stderr_messages import say
from gripway.errors import RequestError
from gripway.tasks.flute_player import FlutePlayer
from gripway.tasks.flutes import choose_instrument
from gripway.tasks.own.finger_times import own_times as own_times_task
from gripway.tasks.own.finger_times import pairs_to_record, save_own_times

MANY_FILES = 12

EPILOG = """
\b
Examples:
  gripway own-times                    the pairs to record, in their order
  gripway own-times --format html --out pairs.html
  gripway own-times takes/*.wav        what your takes say
  gripway own-times takes/*.wav --player me.toml --save

\b
A file is named after what it holds: "G4-A4.wav", "G4-A4 2.wav" a trill,
"scale G4-G5 96.wav" a scale. No sound leaves this machine.

\b
Exit status: 0 done, 1 done but some take does not count, 2 not done.

Fast trills strain the hand: stop on pain, numbness or tingling, and rest between takes.
"""


@click.command(cls=Headed, epilog=EPILOG)
@click.argument("files", metavar="[FILE]...", nargs=-1, type=click.Path(path_type=Path))
@click.option("--pair", metavar="NOTES", help='What all FILES hold, where their names do not say: "G4 A4".')
@a4_option
@click.option("--date", metavar="DAY", help="Day of the recordings, 2026-11-20  [default: today].")
@click.option("--save", is_flag=True, help="Write what was measured into the player file.")
@flute_options("concert-flute")
@form_option(("text", "json", "html"), "html: the pairs to record, as one page to print.")
@out_option
@click.pass_context
def own_times(
    context: click.Context, /, files: tuple[Path, ...], form: str, out: Path | None, **asked: Any
) -> int:
    """Measure your own finger times from recordings of trills and scales, or list the pairs to record."""
    from gripway.sound.reading import check_there

    check_out(out, asked["player_file"], *files)
    check_there(*files)
    player = player_of(asked["player_file"], to_write=asked["save"])
    flute, _ = choose_instrument(asked["instrument"], parts_of(asked["parts"]), player)
    mine = FlutePlayer(flute, player)
    if not files and asked["save"]:
        raise RequestError(
            "there is no recording to save anything of",
            place="--save",
            next_step="Give the recordings: gripway own-times takes/*.wav --player me.toml --save",
        )
    if not files:
        refuse(context, ("pair", "a4", "date"), "is for recordings")
        write_out(_card(form, mine), out, asked["player_file"])
        return 0
    if asked["save"] and asked["player_file"] is None:
        raise RequestError(
            "there is no player file to write into",
            place="--save",
            next_step="Name one with --player; it is made where there is none",
        )
    if form == "html":
        raise RequestError(
            "there is no page of recordings", place="--format", next_step="Choose text or json"
        )
    with progress_when_long("recordings", MANY_FILES) as progress:
        heard = own_times_task(
            files, mine, pair=asked["pair"], a4_hz=a4_of(asked["a4"]), date=asked["date"], tell=progress
        )
    if form == "json":
        from gripway.listening.times.times_data import heard_data

        answer = as_json(heard_data(heard))
    else:
        from gripway.cli.text.own.own_times_text import heard_text

        answer = heard_text(heard, saved=asked["save"])
    write_out(answer, out, asked["player_file"], *files)
    if asked["save"]:
        save_own_times(asked["player_file"], heard)
        say(f"wrote {asked['player_file']}")
    return 1 if heard.refused else 0


def _card(form: str, mine: FlutePlayer) -> str:
    """The pairs to record, in the format asked for."""
    pairs = pairs_to_record(mine)
    if form == "json":
        from gripway.listening.times.times_data import card_data

        return as_json(card_data(pairs))
    from gripway.cli.text.own.own_times_text import CAUTION, HOW_FAST, card_text, how_to_record

    if form == "html":
        from gripway.page.recording_card import pairs_card_page

        how = " ".join((f"{HOW_FAST.capitalize()}.", *how_to_record(pairs)))
        return pairs_card_page(pairs, mine.instrument, how, CAUTION)
    return card_text(pairs)
