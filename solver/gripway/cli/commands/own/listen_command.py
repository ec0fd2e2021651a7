"""`gripway listen FILE`: a recording of named grips in, the player's own cents out."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gripway.asked.wishes import Wishes
from gripway.cli.argument_words import in_options
from gripway.cli.named_parts import named_parts
from gripway.cli.options.heads import Headed
from gripway.cli.options.shared import dial_option, flute_options, parts_of, player_of
from gripway.cli.options.sound_options import a4_of
from gripway.cli.options.together import file_option, form_option
from gripway.cli.output import as_json, check_out, out_option, tell, write_out
from gripway.cli.progress import progress_when_long
from gripway.cli.stderr_messages import say
from gripway.errors import RequestError
from gripway.model.instrument import Instrument
from gripway.model.player import Player
from gripway.tasks.flutes import choose_instrument

if TYPE_CHECKING:
    from gripway.listening.listened import Listened

EPILOG = """
\b
Examples:
  gripway listen examples/f_sharp_takes.wav --grip "F#6=T 1 3 | 2 Eb" --dry-run
  gripway listen takes.wav --grip "F#6=T 1 3 | 2 Eb" --player me.toml
  gripway listen --card part.musicxml --format html --out card.html   (and card.json)
  gripway listen takes.wav --asked card.json --top 5 --player me.toml

\b
Of each grip play three takes of the standard grip, three of this one, and
three of the standard one again: two seconds each, silence between any two.
No sound leaves this machine. With a recording one of --player (made where
there is none), --list or --dry-run is needed.

\b
Exit status: 0 done, 1 some grip could not be measured, 2 not done.
"""

OF_RECORDINGS = {
    "--grip": "grips",
    "--asked": "asked_file",
    "--list": "list_file",
    "--reference": "reference_hz",
}
"""Options that go with a recording, and their parameters."""

LONG_CARD = 4
"""Grips to be tried from which progress is shown."""


@click.command(cls=Headed, epilog=EPILOG)
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="FILE...")
@click.option(
    "--grip",
    "grips",
    multiple=True,
    metavar="PITCH=GRIP",
    help='What was played, in order: --grip "F#6=T 1 3 | 2 Eb", of a written pitch.',
)
@file_option("--asked", "asked_file", "What was played, in the order of a card (--card --format json).")
@file_option("--list", "list_file", "The tuner's list to add to  [default: the one of the player's file].")
@click.option(
    "--date", "day", metavar="DAY", help="The day of the recording, as 2027-01-31  [default: today]."
)
@click.option(
    "--reference",
    "reference_hz",
    type=float,
    metavar="HZ",
    help="The A4 to count cents from  [default: reckoned from your standard grips].",
)
@click.option("--dry-run", is_flag=True, help="Show what was heard, and write nothing.")
@click.option("--card", is_flag=True, help="What to record first, for the parts in FILE... (scores).")
@click.option(
    "--part",
    "wanted_parts",
    multiple=True,
    metavar="NAME",
    help="With --card, the part of each score by name or number, or all  [default: the first flute].",
)
@click.option(
    "--top",
    type=click.IntRange(1, 20),
    metavar="N",
    help="So many rows of the card at most; with a recording the first N  [default: 20].",
)
@flute_options("concert-flute")
@dial_option
@form_option(("text", "json", "html"), "html: the card, of one page to print.")
@out_option
def listen(form: str, out: Path | None, files: tuple[Path, ...], **asked: Any) -> int:
    """Measure your own cents: a recording of named grips, or (--card) what to record first."""
    check_out(out, asked["player_file"], *files)
    player = player_of(asked["player_file"], asked["dials"], to_write=not asked["card"])
    flute, _ = choose_instrument(asked["instrument"], parts_of(asked["parts"]), player)
    if asked["card"]:
        return _card(form, out, files, flute, player, asked)
    grips = _grips(form, files, asked)
    reference_hz = None if asked["reference_hz"] is None else a4_of(asked["reference_hz"])
    from gripway.listening.listen_words import listen_sentence
    from gripway.tasks.own.recordings import listen as listen_task

    found = listen_task(files[0], grips, flute, player, reference_hz=reference_hz)
    tell(found.remarks)
    written = None if asked["dry_run"] else _kept(found, asked)
    sentence = in_options(listen_sentence(found, written))
    write_out(_answer(form, found, sentence, written), out, *files)
    return 0 if all(found.measured_of(each) for each in found.asked) else 1


def _card(
    form: str,
    out: Path | None,
    scores: tuple[Path, ...],
    flute: Instrument,
    player: Player,
    asked: dict[str, Any],
) -> int:
    """What to record first, in the format asked for."""
    for name, option in OF_RECORDINGS.items():
        if asked[option]:
            what = "goes with a recording, not with a card"
            raise RequestError(what, place=name, next_step="Leave one of the two out")
    from gripway.catalog.own_files.asked_grips import asked_grips
    from gripway.tasks.own.record_first import record_first

    beside = out.with_suffix(".json") if form == "html" and out else None
    if beside is not None:
        check_out(beside, asked["player_file"], *scores)
        if beside.exists():
            asked_grips(beside)  # what is no card is not written over
    parts = named_parts(scores, asked["wanted_parts"])
    with progress_when_long("grips", LONG_CARD) as progress:
        card = record_first(parts, flute, Wishes(player=player), asked["top"], progress)
    from gripway.listening.what_to_record import card_data

    if beside is not None:
        write_out(as_json(card_data(card)), beside, asked["player_file"], *scores)
    if form == "json":
        answer = as_json(card_data(card))
    elif form == "html":
        from gripway.page.recording_card import recording_card_page

        answer = recording_card_page(card, flute, beside.name if beside else "")
    else:
        from gripway.cli.text.own.recording_card_text import recording_card_text

        answer = recording_card_text(card)
    write_out(answer, out, asked["player_file"], *scores)
    return 0


def _grips(form: str, files: tuple[Path, ...], asked: dict[str, Any]) -> tuple[str, ...]:
    """What was played. Raises RequestError for what does not go together, before anything is read."""
    from gripway.sound.reading import check_there

    if len(files) > 1:
        raise RequestError("several recordings", place="FILE", next_step="Give one recording at a time")
    check_there(*files)
    if form == "html":
        raise RequestError(
            "there is no page of a recording", place="--format", next_step="Choose text or json"
        )
    if not (asked["dry_run"] or asked["list_file"] or asked["player_file"]):
        raise RequestError(
            "there is no list to write to",
            place="--list",
            next_step="Give one of --player me.toml (made where there is none), --list or --dry-run",
        )
    if bool(asked["grips"]) == bool(asked["asked_file"]):
        raise RequestError(
            "say what was played, once",
            place="--grip or --asked",
            next_step='Give --grip "F#6=T 1 3 | 2 Eb" for each grip, or the --asked card',
        )
    if asked["asked_file"]:
        from gripway.catalog.own_files.asked_grips import asked_grips

        return asked_grips(asked["asked_file"])[: asked["top"]]
    return tuple(asked["grips"])[: asked["top"]]


def _kept(found: "Listened", asked: dict[str, Any]) -> str | None:
    """Add what was measured to the player's list; its name, None where nothing was measured."""
    if not found.measured:
        return None
    from gripway.tasks.own.recordings import keep_cents

    player_file, day = asked["player_file"], asked["day"] or date.today().isoformat()
    if asked["list_file"]:
        keep_cents(found, asked["list_file"], day)
        return str(asked["list_file"])
    from gripway.catalog.own_files.players_list import list_of, name_list

    path = list_of(player_file)
    keep_cents(found, path, day)
    if name_list(player_file):
        say(f"remark: {player_file} names the list {path.name} now (cents.file)")
    return str(path)


def _answer(form: str, found: "Listened", sentence: str, written: str | None) -> str:
    """What was heard in the format asked for."""
    if form == "json":
        from gripway.listening.listened import listened_data

        return as_json(listened_data(found, sentence, written))
    from gripway.cli.text.own.listen_text import listen_text

    return listen_text(found, sentence)
