"""Which passage a command works on: a SCORE or --notes, and the options that fit each of them."""

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from click.core import ParameterSource

from gripway.cli.options.marks_options import FOR_MARKS
from gripway.cli.options.shared import parts_of
from gripway.cli.options.together import together
from gripway.cli.output import tell
from gripway.errors import NotationError, RequestError, ScoreError
from gripway.model.instrument import Instrument
from gripway.model.passage import ASSUMED, Note, Passage, Remark
from gripway.model.player import Player
from gripway.model.tempo import check_tempo
from gripway.tasks.flutes import choose_instrument
from gripway.tasks.scores import open_parts

if TYPE_CHECKING:
    from gripway.score.reading.read_options import ReadOptions
    from gripway.score.reading.score_reading import ScoreReading, ScoreSource

TEMPO_OPTION = "--tempo"
GIVE_ONE = "give a SCORE or --notes, one of the two"
MARKING_FORMS = (
    "musicxml",
    "critical",
    "critical-html",
    "critical-md",
    "legend",
    "legend-html",
    "decisions",
)
"""Forms of an answer that are about marks: the marked score, the list for the critical notes, how to
read the marks, what is decided and marked as a file of decisions."""


FOR_A_SCORE = ("wanted_parts", "voice", "bars", "keep_fingerings", "differ_in", "decisions_file")
FOR_REPORTS = ("which", "bracket", "renew")
READ_IN_A_HOUSE = ("decisions_file", "keep_fingerings")
FOR_NOTES = ("unit",)
"""Options (by parameter name) that mean something for one kind of passage or output only; those whose grips
may be written as a house style has them."""


_SCORE = click.Path(path_type=Path, allow_dash=True)
_choosing = together(
    click.option(
        "--notes",
        metavar="TEXT",
        help="The passage as one line of notes instead of a SCORE; - reads it from standard input.",
    ),
    click.option(
        "--part",
        "wanted_parts",
        multiple=True,
        metavar="NAME",
        help="Part by name or number, more than once for several, or all flutes: all  "
        "[default: the first flute].",
    ),
    click.option("--voice", metavar="N", help="Voice of the part  [default: the first]."),
    click.option("--bars", metavar="FROM-TO", help="Only these bars, as printed: 12-20, 12, 12- or -20."),
    click.option("--tempo", type=float, metavar="QPM", help="Quarter notes a minute, for the whole passage."),
    click.option(
        "--unit",
        metavar="LENGTH",
        default="1/16",
        show_default=True,
        help="Length of a note of --notes without one.",
    ),
)
passage_options = together(click.argument("score", required=False, type=_SCORE), _choosing)
"""SCORE or --notes, and the options that choose from the one and read the other."""

passages_options = together(click.argument("scores", metavar="[SCORE]...", nargs=-1, type=_SCORE), _choosing)
"""The same with any number of SCOREs."""


@dataclass(frozen=True, slots=True)
class ChosenPassage:
    """The passage to work on, and the score it came from (None for --notes).

    `path` is the file it was read from: None for --notes, `-` for standard input.
    """

    passage: Passage
    reading: "ScoreReading | None"
    path: Path | None


def source_of(score: Path | None, notes: str | None, asked: dict[str, Any], stood: str = "") -> ChosenPassage:
    """Read the one passage; `stood` names the file that notes stood in.

    Raises RequestError for an impossible request, ScoreError for a bad score.
    """
    found = sources_of(score, notes, asked, stood)
    if len(found.sources) + len(found.tacet) > 1:
        raise RequestError(
            "this can be asked of one part at a time", place="--part", next_step="Name one part"
        )
    if not found.sources:
        raise ScoreError(
            f"part {found.tacet[0]} has no notes",
            place=str(score),
            next_step="Choose another part or voice",
        )
    return found.sources[0]


@dataclass(frozen=True, slots=True)
class ChosenPassages:
    """The passages asked for; of a score also the titles of parts without notes, and the score itself."""

    sources: tuple[ChosenPassage, ...]
    tacet: tuple[str, ...] = ()
    score: "ScoreSource | None" = None


def sources_of(
    score: Path | None, notes: str | None, asked: dict[str, Any], stood: str = ""
) -> ChosenPassages:
    """Read the passage, or one for each part asked for. Raises as `source_of` does."""
    tempo = asked["tempo"]
    check_tempo(tempo, TEMPO_OPTION)
    if (score is None) == (notes is None):
        raise RequestError(
            GIVE_ONE,
            next_step='For example gripway finger --notes "E6 F#6 G#6"',
        )
    if notes is not None:
        return ChosenPassages((ChosenPassage(_passage(notes, asked, stood), None, None),))
    found = open_parts(str(score), asked["wanted_parts"], read_options(asked))
    tell((*found.remarks, *found.tacet_remarks()))
    read = tuple(ChosenPassage(reading.passage, reading, score) for reading in found.readings)
    return ChosenPassages(read, found.tacet, found.source)


def _passage(notes: str, asked: dict[str, Any], stood: str) -> Passage:
    """The passage of a line of notes, whose faults are told with the file they stand in."""
    from gripway.score.notation import read_notation
    from gripway.score.notation_values import DEFAULT_TEMPO

    tempo = asked["tempo"]
    try:
        passage = read_notation(notes, unit_of(asked["unit"]), tempo or DEFAULT_TEMPO)
    except NotationError as problem:
        place = ": ".join(part for part in (stood, problem.place) if part)
        raise NotationError(problem.what, place=place, next_step=problem.next_step) from None
    if tempo is not None:
        return passage
    assumed = Remark(f"no --tempo: quarter = {DEFAULT_TEMPO:g} assumed")
    return replace(passage, remarks=(assumed, *passage.remarks), tempo_by=ASSUMED)


def read_options(asked: dict[str, Any]) -> "ReadOptions":
    """Bars, tempo and voice to read, and whether our own marks are taken out first."""
    from gripway.score.reading.read_options import ReadOptions

    return ReadOptions(
        bars=asked["bars"],
        tempo=asked["tempo"],
        voice=asked["voice"],
        unmarked=asked.get("renew", False),
        abbreviations=abbreviations_in(asked.get("house_file")),
    )


def abbreviations_in(house_file: Path | None) -> dict[str, str]:
    """What a house's own abbreviations stand for; nothing without a file."""
    if house_file is None:
        return {}
    from gripway.catalog.own_files.house_style_file import read_house_style

    return read_house_style(house_file).hand.texts


def flute_for(
    source: ChosenPassage, asked: dict[str, Any], player: Player
) -> tuple[Instrument, tuple[Remark, ...]]:
    """The flute of a passage, and a remark where it was concluded from the part's transposition."""
    sounds = source.reading.part.sounds_semitones if source.reading else 0
    flute, remark = choose_instrument(asked["instrument"], parts_of(asked["parts"]), player, sounds)
    return flute, (remark,) if remark else ()


def whole_notes(source: ChosenPassage, asked: dict[str, Any]) -> tuple[Note, ...]:
    """All notes of the part of a passage, which may have only some of its bars."""
    from gripway.tasks.scores import whole_part

    if source.reading is None or not asked.get("bars"):
        return source.passage.notes
    return whole_part(source.reading, read_options(asked))


def unit_of(text: str) -> Fraction:
    """The note value of `--unit`, as a fraction of a whole note."""
    found = re.fullmatch(r"\s*(\d{1,4})(?:/(\d{1,4}))?\s*", text, re.ASCII)
    number, under = (int(found[1]), int(found[2] or 1)) if found else (0, 1)
    if under == 0 or not 0 < Fraction(number, under) <= 4:
        raise RequestError(
            f"{text!r} is no note value", place="--unit", next_step="Write 1/16, 1/8, 1/12, 1/4"
        )
    return Fraction(number, under)


def refuse_idle_options(context: click.Context, notes: str | None, form: str) -> None:
    """RequestError for an option that would change nothing, so that none is silently passed over."""
    if notes is not None:
        refuse(context, FOR_A_SCORE, "is for a SCORE, not for --notes")
    else:
        refuse(context, FOR_NOTES, "is for --notes, not for a SCORE")
    only_marks = tuple(name for name in FOR_MARKS if name not in (*FOR_REPORTS, "house_file"))
    for names, forms in ((only_marks, MARKING_FORMS), (FOR_REPORTS, (*MARKING_FORMS, "html"))):
        if form not in forms:
            refuse(context, names, f"is for --format {', '.join(forms[:-1])} or {forms[-1]}")
    marks = form in (*MARKING_FORMS, "html") or "which" not in context.params
    if not marks and not any(map(context.params.get, READ_IN_A_HOUSE)):
        named = ", ".join((*MARKING_FORMS, "html"))
        refuse(context, ("house_file",), f"is for --format {named}, --decisions or --keep-fingerings")


def refuse(context: click.Context, names: tuple[str, ...], why: str) -> None:
    """RequestError for the first of these options (by parameter name) that was given."""
    for option in context.command.params:
        given = context.get_parameter_source(option.name or "") == ParameterSource.COMMANDLINE
        if option.name in names and given:
            raise RequestError(f"this option {why}", place=option.opts[0], next_step="Leave one of them out")
