"""`gripway finger`: a passage in, its route out as text, JSON, CSV or a marked score."""

from pathlib import Path
from typing import Any

import click

from gripway.cli.choices import ban_of, flute_options, found_of, found_options, parts_of, pin_of, player_of
from gripway.cli.comparing import comparing_options, comparison, refuse_idle_comparing
from gripway.cli.output import as_json, check_out, out_option, tell, write_out
from gripway.cli.passage_choice import Source, passage_options, refuse_idle_options, source_of
from gripway.cli.progress import progress_on_stderr
from gripway.model.instrument import Instrument
from gripway.model.player import Player
from gripway.route.request import CHOICES, LEAST_EFFORT, Wishes
from gripway.route.result import Route
from gripway.tasks.flutes import choose_instrument
from gripway.tasks.routes import finger as finger_task
from gripway.tasks.routes import worth_it

EPILOG = """
\b
Examples:
  gripway finger part.musicxml --bars 12-20
  gripway finger part.musicxml --format musicxml --out part-marked.musicxml
  gripway finger --notes "E6 F#6 G#6 A6 G#6 F#6 E6:1/4" --tempo 120
  gripway finger --notes "E6 F#6 G#6" --pin "n2=T 1 3 | 2 Eb" --explain
  gripway finger --notes "mf E6:1/2" --tempo 60 --format json

\b
Notes are PITCH[:LENGTH] with blanks between: F#6, Bb5:1/8; r is a rest;
pp p mp mf f ff hold until changed; ( ) slur; | may stand anywhere.
A grip is the touches pressed, left hand | right hand: T 1 3 | 2 Eb.
Fingers: LT L1-L4 of the left hand, R1-R4 of the right.

\b
Exit status: 0 done, 1 done but some note has no grip, 2 not done.
"""


@click.command(epilog=EPILOG)
@passage_options
@flute_options("what the part sounds like")
@click.option(
    "--dial",
    "dials",
    multiple=True,
    metavar="NAME=X",
    help="Turn a dial: speed, steadiness, tuning or familiarity (0 to 4, 1 is plain).",
)
@click.option(
    "--pin",
    "pins",
    multiple=True,
    metavar="NOTE=GRIP",
    help='Keep a grip: --pin "3=T 1 | Eb", a note by its number in the text output or its id in the JSON.',
)
@click.option(
    "--ban",
    "bans",
    multiple=True,
    metavar="PITCH=GRIP",
    help='Never use a grip: --ban "F#6=T 1 3 | 3 Eb", or a kind: --ban harmonic.',
)
@click.option(
    "--choose",
    type=click.Choice(CHOICES),
    default=LEAST_EFFORT,
    show_default=True,
    help="What to minimise; standard and movers (fewest moving fingers) are for comparison.",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(("text", "json", "csv", "musicxml", "html")),
    default="text",
    show_default=True,
    help="musicxml: the score with our marks added; html: a report to look at and to print.",
)
@click.option(
    "--mark",
    "which",
    type=click.Choice(("needed", "first", "every")),
    default="needed",
    show_default=True,
    help="Marks: where the grip is not the plain one, where it changes, everywhere.",
)
@click.option(
    "--mark-as",
    "style",
    type=click.Choice(("fingering", "lyric", "words")),
    default="fingering",
    show_default=True,
    help="How a mark stands in the score.",
)
@click.option("--bracket", is_flag=True, help="Put marks in brackets, as an editor's.")
@click.option("--keep-fingerings", is_flag=True, help="Keep the fingerings already in the score.")
@found_options
@comparing_options
@click.option("--explain", is_flag=True, help="Show every part of every cost.")
@out_option
@click.pass_context
def finger(
    context: click.Context,
    /,
    score: Path | None,
    notes: str | None,
    form: str,
    out: Path | None,
    **asked: Any,
) -> int:
    """Find the least awkward grips for a SCORE (MusicXML, - for standard input) or --notes."""
    refuse_idle_options(context, notes, form)
    refuse_idle_comparing(context, form)
    check_out(out, score, asked["player_file"])
    source = source_of(score, notes, asked)
    if form == "musicxml":
        from gripway.cli.score_output import check_score_out

        check_score_out(source.reading, out)
    player = player_of(asked["player_file"], asked["dials"])
    transposes = source.reading.part.sounds_semitones if source.reading else 0
    instrument, remark = choose_instrument(asked["instrument"], parts_of(asked["parts"]), player, transposes)
    wishes = _wishes(source, player, asked)
    if asked["tradeoff"] or asked["alternatives"]:
        route, answer = comparison(form, source.passage, instrument, wishes, asked)
        tell((*((remark,) if remark else ()), *route.passage.remarks))
        write_out(answer, out, score, asked["player_file"])
        return 0 if route.status == "optimal" else 1
    with progress_on_stderr(len(source.passage.notes)) as progress:
        route = finger_task(source.passage, instrument, wishes, progress)
    tell((*((remark,) if remark else ()), *route.passage.remarks))
    write_out(_answer(form, source, route, instrument, wishes, asked), out, score, asked["player_file"])
    return 0 if route.status == "optimal" else 1


def _wishes(source: Source, player: Player, asked: dict[str, Any]) -> Wishes:
    wishes = Wishes(
        player=player,
        pins=tuple(pin_of(text, len(source.passage.notes)) for text in asked["pins"]),
        bans=tuple(ban_of(text) for text in asked["bans"]),
        choose=asked["choose"],
        found=found_of(asked["found"], asked["found_wishes"]),
    )
    if asked["keep_fingerings"]:
        from gripway.route.source_pins import with_source_pins

        return with_source_pins(source.passage, wishes)
    return wishes


def _answer(
    form: str, source: Source, route: Route, instrument: Instrument, wishes: Wishes, asked: dict[str, Any]
) -> str | bytes:
    """The route in the format asked for."""
    if form == "json":
        from gripway.route.export import route_data

        return as_json(route_data(route))
    if form == "csv":
        from gripway.route.export import note_frame

        return str(note_frame(route).to_csv(index=False, lineterminator="\n"))
    if form == "musicxml":
        from gripway.cli.score_output import marked

        return marked(source.reading, route, asked)
    if form == "html":
        from gripway.tasks.reports import report

        return report(source.reading, route, instrument, wishes, bars=asked["bars"], which=asked["which"])
    from gripway.cli.route_text import route_text

    worth = worth_it(route, instrument, wishes)
    return route_text(route, instrument, worth, choose=wishes.choose, explain=asked["explain"])
