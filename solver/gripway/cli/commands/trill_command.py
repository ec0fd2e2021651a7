"""`gripway trill LOW HIGH`: the pairs of grips for a trill or tremolo between two pitches."""

from pathlib import Path

import click

from gripway.cli.options.heads import Headed
from gripway.cli.options.shared import flute_options, parts_of, player_of
from gripway.cli.options.together import form_option
from gripway.cli.output import as_json, check_out, out_option, tell, write_out
from gripway.cli.stderr_messages import say
from gripway.csv_text import csv_text
from gripway.model.instrument import Instrument
from gripway.model.passage import Remark
from gripway.model.pitch import asked_pitch
from gripway.model.player import Player
from gripway.tasks.flutes import choose_instrument
from gripway.tasks.trill_lists import trill as trill_task
from gripway.trills.trill_list import TrillList

EPILOG = """
\b
Examples:
  gripway trill F6 G6
  gripway trill C5 D5 --format json
  gripway trill F6 G6 --format html --out f6_g6.html
  gripway trill G#6 A#6 --with c-sharp-trill --explain

\b
Any interval up to an octave, in either order. The best pair comes first.

\b
Exit status: 0 done, 1 no pair on this flute, 2 not done.
"""


@click.command(cls=Headed, epilog=EPILOG)
@click.argument("low")
@click.argument("high")
@flute_options("concert-flute")
@form_option(
    ("text", "json", "csv", "musicxml", "html"),
    "musicxml, html: drills for the best pair, as a part or a sheet to print.",
)
@click.option(
    "--explain",
    is_flag=True,
    help="Show points, change times, what sounds on the way, lineage and sources.",
)
@out_option
def trill(
    low: str,
    high: str,
    instrument: str | None,
    parts: str,
    player_file: Path | None,
    form: str,
    explain: bool,
    out: Path | None,
) -> int:
    """List pairs of grips for a trill or tremolo between LOW and HIGH (F6 G6), best first."""
    check_out(out, player_file)
    player = player_of(player_file)
    flute, _ = choose_instrument(instrument, parts_of(parts), player)
    pitches = asked_pitch(low, "LOW"), asked_pitch(high, "HIGH")
    found = trill_task(*pitches, flute, player, tell=say)
    answer: str | bytes
    if form == "json":
        from gripway.trills.trill_list import trill_list_data

        answer = as_json(trill_list_data(found))
    elif form == "csv":
        from gripway.trills.trill_list import pair_rows

        tell(tuple(map(Remark, found.remarks)))
        answer = csv_text(pair_rows(found))
    elif form in ("musicxml", "html"):
        answer = _drills(form, found, flute, player)
    else:
        from gripway.cli.text.trill_text import trill_text

        answer = trill_text(found, flute, explain=explain)
    write_out(answer, out, player_file)
    return 0 if not found.problem else 1


def _drills(form: str, found: TrillList, flute: Instrument, player: Player) -> str | bytes:
    """The drills for the best pair, as a part or a sheet."""
    from gripway.tasks.practise import trill_part, trill_practice

    planned = trill_practice(found, flute, player)
    tell(tuple(map(Remark, found.remarks)))
    if form == "musicxml":
        return trill_part(planned)
    from gripway.tasks.practice_sheets import trill_sheet

    return trill_sheet(planned, flute)
