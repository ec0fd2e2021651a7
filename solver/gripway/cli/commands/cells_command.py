"""`gripway cells`: keys, patterns and a range in, their worst changes and cells out."""

from pathlib import Path
from typing import Any

import click

from gripway.asked.pins import ban_of
from gripway.asked.wishes import LEAST_EFFORT, STANDARD_ONLY, Wishes
from gripway.catalog.tables.pattern_table import pattern_kinds
from gripway.cli.options.heads import Headed
from gripway.cli.options.passage_choice import TEMPO_OPTION, unit_of
from gripway.cli.options.shared import ban_option, dial_option, flute_options, parts_of, player_of
from gripway.cli.options.together import choose_option, form_option
from gripway.cli.output import as_json, check_out, out_option, tell, write_out
from gripway.cli.progress import progress_when_long
from gripway.csv_text import csv_text
from gripway.errors import RequestError
from gripway.model.instrument import Instrument
from gripway.model.key import Key
from gripway.model.pitch import Pitch, asked_pitch, plain_name
from gripway.model.tempo import check_tempo
from gripway.tasks.flutes import choose_instrument
from gripway.tasks.pattern_cell_lists import (
    HIGHEST,
    LOWEST,
    HardPatterns,
    PatternQuestion,
    cells_data,
    cells_part,
    hard_patterns,
)

ALL = "all"
MANY_PATTERNS = 20
CHANGES_A_CELL = 3
"""So many of the worst changes are listed for each cell asked for."""

EPILOG = """
\b
Examples:
  gripway cells --key A --from F#6 --to A6
  gripway cells --key "F# minor" --tempo 132
  gripway cells --pattern chromatic --pattern whole-tone --from C5 --to C7
  gripway cells --format html --out third-octave.html

\b
Without --key all twelve major and twelve minor keys; without a range C6 to C7.

\b
Exit status: 0 done, 1 done but some note has no grip, 2 not done.
"""


@click.command(cls=Headed, epilog=EPILOG)
@click.option("--key", "keys", multiple=True, metavar="KEY", help='A, Eb, "F# minor"; all  [default: all].')
@click.option(
    "--pattern",
    "kinds",
    multiple=True,
    metavar="NAME",
    help=f"{', '.join(pattern_kinds())}  [default: those of the keys].",
)
@click.option("--from", "lowest", metavar="PITCH", help="Lowest pitch  [default: C6].")
@click.option("--to", "highest", metavar="PITCH", help="Highest pitch  [default: C7].")
@click.option(
    "--tempo", type=float, default=120.0, show_default=True, metavar="QPM", help="Quarter notes a minute."
)
@click.option("--unit", default="1/16", show_default=True, metavar="LENGTH", help="Length of a note.")
@flute_options("concert-flute")
@dial_option
@ban_option
@choose_option((LEAST_EFFORT, STANDARD_ONLY), "The grips of least effort, or the standard ones.")
@click.option(
    "--top", type=click.IntRange(1, 20), default=6, show_default=True, metavar="N", help="Cells at most."
)
@form_option(
    ("text", "json", "csv", "html", "musicxml"),
    "csv: all changes; html: a heat map and a sheet of the worst cells; musicxml: their drills.",
)
@out_option
def cells(form: str, out: Path | None, **asked: Any) -> int:
    """Find the worst cells of scales and patterns, in one key or in all."""
    check_out(out, asked["player_file"])
    check_tempo(asked["tempo"], TEMPO_OPTION)
    player = player_of(asked["player_file"], asked["dials"])
    flute, _ = choose_instrument(asked["instrument"], parts_of(asked["parts"]), player)
    lowest, highest = _range(flute, asked["lowest"], asked["highest"])
    question = PatternQuestion(
        lowest=lowest,
        highest=highest,
        keys=_keys(asked["keys"]),
        kinds=asked["kinds"],
        unit=unit_of(asked["unit"]),
        quarters=asked["tempo"],
    )
    wishes = Wishes(player=player, bans=tuple(map(ban_of, asked["bans"])), choose=asked["choose"], others=0)
    with progress_when_long("patterns", MANY_PATTERNS) as progress:
        found = hard_patterns(flute, question, wishes, asked["top"], progress)
    tell(found.remarks)
    write_out(_answer(form, found, CHANGES_A_CELL * asked["top"]), out, asked["player_file"])
    return 0 if found.complete else 1


def _keys(texts: tuple[str, ...]) -> tuple[Key, ...]:
    """The keys named; none for all of them."""
    if any(text.strip().casefold() == ALL for text in texts):
        return ()
    try:
        return tuple(dict.fromkeys(Key.parse(text) for text in texts))
    except ValueError as problem:
        raise RequestError(str(problem), place="--key", next_step='Write A, Eb, "F# minor" or all') from None


def _range(flute: Instrument, lowest: str | None, highest: str | None) -> tuple[int, int]:
    """Both ends as note numbers; RequestError for an empty range or one beyond the flute."""
    ends = []
    for option, text, usual in (("--from", lowest, LOWEST), ("--to", highest, HIGHEST)):
        number = Pitch.parse(usual).number if text is None else asked_pitch(text, option).number
        if text is None:
            number = min(flute.highest, max(flute.lowest, number))
        elif not flute.lowest <= number <= flute.highest:
            reach = f"{plain_name(flute.lowest)} to {plain_name(flute.highest)}"
            raise RequestError(
                f"outside the {flute.title}", place=f"{option} {text}", next_step=f"Its tables cover {reach}"
            )
        ends.append(number)
    if ends[0] >= ends[1]:
        raise RequestError(
            "the range is empty",
            place=f"{plain_name(ends[0])} to {plain_name(ends[1])}",
            next_step="Name a lower --from or a higher --to",
        )
    return ends[0], ends[1]


def _answer(form: str, found: HardPatterns, most: int) -> str | bytes:
    """The answer in the format asked for."""
    if form == "json":
        return as_json(cells_data(found, most))
    if form == "csv":
        from gripway.practice.cells.pattern_export import change_rows

        return csv_text(change_rows(found.changes))
    if form == "musicxml":
        return cells_part(found)
    if form == "html":
        from gripway.tasks.practice_sheets import technique_sheet

        return technique_sheet(found, most)
    from gripway.cli.text.cells_text import cells_text

    return cells_text(found, most)
