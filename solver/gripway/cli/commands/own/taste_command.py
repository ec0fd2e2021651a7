"""`gripway taste SCORE...`: the dials that explain a player's or teacher's own fingerings best."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gripway.asked.pins import pin_of
from gripway.cli.decisions_asked import decisions_of
from gripway.cli.options.heads import Headed
from gripway.cli.options.marks_options import house_option
from gripway.cli.options.passage_choice import read_options
from gripway.cli.options.shared import every_part_options, flute_options, parts_of, pin_option, player_of
from gripway.cli.options.together import file_option, form_option
from gripway.cli.output import as_json, check_out, out_option, tell, write_out
from gripway.cli.progress import progress_when_long
from gripway.cli.stderr_messages import say
from gripway.errors import RequestError

if TYPE_CHECKING:
    from gripway.taste.taste import Taste

LONG = 1
"""Steps of work from which progress is shown: every answer has some dozens."""

EPILOG = """
\b
Examples:
  gripway taste part.musicxml study.musicxml
  gripway taste part.musicxml --decisions teacher.toml --player me.toml
  gripway taste page-gripway.json --player me.toml --write

\b
A SCORE has fingerings in it, or is a session saved by the page, whose pins
count. Marks that gripway put in itself do not count. Nothing is written
without --write.

\b
Exit status: 0 something was learnt, 1 nothing was (too few marks, or no dials
that do better), 2 not done.
"""


@click.command(cls=Headed, epilog=EPILOG)
@click.argument("scores", nargs=-1, required=True, metavar="SCORE...", type=click.Path(path_type=Path))
@every_part_options()
@file_option(
    "--decisions",
    "decisions_files",
    "Grips decided by a teacher or an editor (TOML), as often as wanted.",
    multiple=True,
)
@pin_option
@flute_options("what each part sounds like")
@house_option
@click.option("--write", is_flag=True, help="Put what was learnt into the player's file.")
@form_option(("text", "json"))
@out_option
def taste(scores: tuple[Path, ...], form: str, out: Path | None, write: bool, **asked: Any) -> int:
    """Learn from the fingerings in SCOREs how much each dial weighs for whoever wrote them."""
    from gripway.tasks.own.tastes import learn_taste, write_taste
    from gripway.taste.taste import LEARNT, PERHAPS

    player_file: Path | None = asked["player_file"]
    check_out(out, *scores, player_file, asked["house_file"], *asked["decisions_files"])
    if write and player_file is None:
        raise RequestError(
            "there is no player's file to write to", place="--write", next_step="Name one: --player me.toml"
        )
    with progress_when_long("steps", LONG) as progress:
        found = learn_taste(
            dict.fromkeys(scores),
            player=player_of(player_file, to_write=write),
            parts=asked["wanted_parts"],
            options=read_options(asked | {"bars": None}),
            instrument=asked["instrument"],
            with_parts=parts_of(asked["parts"]),
            decisions=[
                each for path in asked["decisions_files"] for each in decisions_of(path, asked["house_file"])
            ],
            pins=tuple(map(pin_of, asked["pins"])),
            told=lambda remark: tell((remark,)),
            progress=progress,
        )
    wrote = write and player_file is not None and write_taste(found, player_file, date.today().isoformat())
    write_out(_answer(found, form, player_file, wrote=wrote), out, *scores, player_file)
    if wrote:
        say(f"wrote {player_file}")
    return 0 if found.status in (LEARNT, PERHAPS) else 1


def _answer(found: "Taste", form: str, player_file: Path | None, *, wrote: bool) -> str:
    """What was learnt, in the form asked for."""
    if form == "json":
        from gripway.taste.taste_data import taste_data

        return as_json(taste_data(found, wrote=wrote))
    from gripway.cli.text.own.taste_text import taste_text

    return taste_text(found, player_file, wrote=wrote)
