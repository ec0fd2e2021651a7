"""`gripway grips PITCH`: every grip the tables know for a pitch."""

from pathlib import Path

import click

from gripway.cli.options.heads import Headed
from gripway.cli.options.shared import (
    flute_options,
    found_of,
    found_options,
    parts_of,
    player_of,
)
from gripway.cli.options.together import form_option
from gripway.cli.output import as_json, check_out, out_option, tell, write_out
from gripway.csv_text import csv_text
from gripway.model.passage import Remark
from gripway.model.pitch import asked_pitch
from gripway.tasks.flutes import choose_instrument
from gripway.tasks.grip_lists import grips as grips_task

EPILOG = """
\b
Examples:
  gripway grips F#6
  gripway grips Bb5 --format json
  gripway grips C7 --with b-foot,high-c --explain
  gripway grips F#6 --found --wish "keep R2 R3" --wish "within 10 cents"

\b
A grip is the touches pressed, left hand | right hand: T 1 3 | 2 Eb.

\b
Exit status: 0 done, 1 the pitch has no grip on this flute, 2 not done.
"""


@click.command(cls=Headed, epilog=EPILOG)
@click.argument("pitch")
@flute_options("concert-flute")
@form_option(("text", "json", "csv"))
@found_options
@click.option(
    "--explain",
    is_flag=True,
    help="Show open holes, lineage, what the model says, and sources.",
)
@out_option
def grips(
    pitch: str,
    instrument: str | None,
    parts: str,
    player_file: Path | None,
    form: str,
    found: bool,
    found_wishes: tuple[str, ...],
    explain: bool,
    out: Path | None,
) -> int:
    """List the grips of a written PITCH (F#6, Bb5): cents, response, use, what they need."""
    check_out(out, player_file)
    player = player_of(player_file)
    flute, _ = choose_instrument(instrument, parts_of(parts), player)
    known = grips_task(asked_pitch(pitch, "PITCH"), flute, player, found_of(found, found_wishes))
    tell((Remark(known.remark),) if known.remark else ())
    if form == "json":
        from gripway.candidates.grip_list import grip_list_data

        answer = as_json(grip_list_data(known))
    elif form == "csv":
        from gripway.candidates.grip_list import grip_rows

        answer = csv_text(grip_rows(known))
    else:
        from gripway.cli.text.grip_text import grip_text

        answer = grip_text(known, flute, explain=explain)
    write_out(answer, out, player_file)
    return 0 if not known.problem else 1
