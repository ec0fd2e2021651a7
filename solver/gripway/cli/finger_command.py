"""`gripway finger`: a passage in, its route out as text, JSON, CSV or a marked score."""

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import click

from gripway.cli.choices import ban_of, flute_options, parts_of, pin_of, player_of
from gripway.cli.output import as_json, check_out, tell, write_out
from gripway.cli.progress import progress_on_stderr
from gripway.errors import RequestError
from gripway.model.passage import Passage
from gripway.route.request import CHOICES, LEAST_EFFORT, Wishes
from gripway.score.notation import DEFAULT_TEMPO, read_notation
from gripway.score.options import ReadOptions
from gripway.score.reading import ScoreReading
from gripway.tasks import choose_instrument, mark, read, worth_it
from gripway.tasks import finger as finger_task

EPILOG = """
\b
Examples:
  gripway finger part.musicxml --bars 12-20
  gripway finger part.musicxml --format musicxml --out part-marked.musicxml
  gripway finger --notes "E6 F#6 G#6 A6 G#6 F#6 E6:1/4" --tempo 120 --explain
  gripway finger --notes "mf E6:1/2" --tempo 60 --format json

\b
Notes are PITCH[:LENGTH] with blanks between: F#6, Bb5:1/8; r is a rest; pp p mp mf f ff hold
until changed; ( ) slur; | may stand anywhere.
"""
SLOWEST_TEMPO, FASTEST_TEMPO = 5.0, 500.0


@dataclass(frozen=True, slots=True)
class Source:
    """The passage to finger, and the score it came from (None for --notes)."""

    passage: Passage
    reading: ScoreReading | None
    path: Path | None


@click.command(epilog=EPILOG)
@click.argument("score", required=False, type=click.Path(path_type=Path, allow_dash=True))
@click.option("--notes", metavar="TEXT", help="The passage as one line of notes instead of a SCORE.")
@click.option("--part", metavar="NAME", help="Part by name or number  [default: the first flute].")
@click.option("--voice", metavar="N", help="Voice of the part  [default: the first].")
@click.option("--bars", metavar="FROM-TO", help="Only these bars, as printed: 12-20, 12, 12- or -20.")
@click.option("--tempo", type=float, metavar="QPM", help="Quarter notes a minute, for the whole passage.")
@click.option("--unit", default="1/16", show_default=True, help="Length of a note of --notes without one.")
@flute_options
@click.option(
    "--dial",
    "dials",
    multiple=True,
    metavar="NAME=X",
    help="Turn a dial: speed, steadiness, tuning or familiarity (0 to 4, 1 is plain).",
)
@click.option("--pin", "pins", multiple=True, metavar="NOTE=GRIP", help='Keep a grip: --pin "n3=T L1 | Eb".')
@click.option(
    "--ban", "bans", multiple=True, metavar="PITCH=GRIP", help="Never use a grip, or a kind of grips."
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
    type=click.Choice(("text", "json", "csv", "musicxml")),
    default="text",
    show_default=True,
    help="musicxml is the same score with only our marks added.",
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
@click.option("--explain", is_flag=True, help="Show every part of every cost.")
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="FILE", help="Write here instead of to the screen."
)
def finger(score: Path | None, notes: str | None, form: str, out: Path | None, **asked: Any) -> int:
    """Find the least awkward grips for a SCORE (MusicXML, - for standard input) or --notes."""
    source = _source(score, notes, asked)
    check_out(out, source.path)
    if form == "musicxml" and source.reading is None:
        raise RequestError("marks need a score", place="--format musicxml", next_step="Give a MusicXML file")
    player = player_of(asked["player_file"], asked["dials"])
    transposes = source.reading.part.sounds_semitones if source.reading else 0
    instrument, remark = choose_instrument(asked["instrument"], parts_of(asked["parts"]), player, transposes)
    wishes = Wishes(
        player=player,
        pins=tuple(pin_of(text) for text in asked["pins"]),
        bans=tuple(ban_of(text) for text in asked["bans"]),
        choose=asked["choose"],
    )
    if asked["keep_fingerings"]:
        from gripway.route.source_pins import with_source_pins

        wishes = with_source_pins(source.passage, wishes)
    with progress_on_stderr(len(source.passage.notes)) as progress:
        route = finger_task(source.passage, instrument, wishes, progress)
    tell((*source.passage.remarks, *((remark,) if remark else ())))
    if form == "json":
        from gripway.route.export import route_data

        answer: str | bytes = as_json(route_data(route))
    elif form == "csv":
        from gripway.route.export import note_frame

        answer = note_frame(route).to_csv(index=False, lineterminator="\n")
    elif form == "musicxml" and source.reading is not None:
        answer = mark(
            source.reading, route, which=asked["which"], style=asked["style"], bracket=asked["bracket"]
        )
    else:
        from gripway.cli.route_text import route_text

        answer = route_text(route, instrument, worth_it(route, instrument, wishes), explain=asked["explain"])
    write_out(answer, out, source.path)
    return 0 if route.status == "optimal" else 1


def _source(score: Path | None, notes: str | None, asked: dict[str, Any]) -> Source:
    tempo = asked["tempo"]
    if tempo is not None and not SLOWEST_TEMPO <= tempo <= FASTEST_TEMPO:
        raise RequestError(
            f"{tempo:g} quarters a minute is no tempo to play at",
            place="--tempo",
            next_step=f"Give {SLOWEST_TEMPO:g} to {FASTEST_TEMPO:g}",
        )
    if (score is None) == (notes is None):
        raise RequestError(
            "give a SCORE or --notes, one of the two",
            next_step='For example gripway finger --notes "E6 F#6 G#6"',
        )
    if notes is not None:
        return Source(read_notation(notes, _unit(asked["unit"]), tempo or DEFAULT_TEMPO), None, None)
    options = ReadOptions(part=asked["part"], bars=asked["bars"], tempo=tempo, voice=asked["voice"])
    reading = read(str(score), options)
    return Source(reading.passage, reading, None if str(score) == "-" else score)


def _unit(text: str) -> Fraction:
    try:
        unit = Fraction(text)
    except (ValueError, ZeroDivisionError):
        unit = Fraction(0)
    if not 0 < unit <= 4:
        raise RequestError(
            f"{text!r} is no note value", place="--unit", next_step="Write 1/16, 1/8, 1/12, 1/4"
        )
    return unit
