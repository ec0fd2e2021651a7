"""`gripway grips PITCH`: every grip the tables know for a pitch."""

from pathlib import Path

import click

from gripway.cli.choices import flute_options, parts_of, pitch_of, player_of
from gripway.cli.output import as_json, check_out, write_out
from gripway.tasks import choose_instrument
from gripway.tasks import grips as grips_task

EPILOG = """
\b
Examples:
  gripway grips F#6
  gripway grips Bb5 --format json
  gripway grips C7 --with high-c
"""


@click.command(epilog=EPILOG)
@click.argument("pitch")
@flute_options
@click.option(
    "--format", "form", type=click.Choice(("text", "json", "csv")), default="text", show_default=True
)
@click.option("--explain", is_flag=True, help="Show sources, locators and open holes too.")
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="FILE", help="Write here instead of to the screen."
)
def grips(
    pitch: str,
    instrument: str | None,
    parts: str,
    player_file: Path | None,
    form: str,
    explain: bool,
    out: Path | None,
) -> int:
    """List the grips of a written PITCH (F#6, Bb5): cents, response, use, what they need."""
    check_out(out, None)
    player = player_of(player_file)
    flute, _ = choose_instrument(instrument, parts_of(parts), player)
    found = grips_task(pitch_of(pitch, "PITCH"), flute, player)
    if form == "json":
        from gripway.route.grip_list import grip_list_data

        answer = as_json(grip_list_data(found))
    elif form == "csv":
        from gripway.route.grip_list import grip_frame

        answer = grip_frame(found).to_csv(index=False, lineterminator="\n")
    else:
        from gripway.cli.grip_text import grip_text

        answer = grip_text(found, flute, explain=explain)
    write_out(answer, out)
    return 0 if not found.problem else 1
