"""`gripway finger`: a passage in, its route out as text, JSON, CSV or a marked score."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gripway.asked.wishes import CHOICES
from gripway.cli.comparing import comparing_options, comparison, refuse_idle_comparing
from gripway.cli.finger_part import FingerPart, finger_parts
from gripway.cli.options.heads import Headed
from gripway.cli.options.learning_options import learning_options, refuse_idle_learning, with_curve
from gripway.cli.options.limit_options import limit_options
from gripway.cli.options.marks_options import decisions_option, house_of, marks_options
from gripway.cli.options.notes_text import notes_given
from gripway.cli.options.passage_choice import (
    GIVE_ONE,
    MARKING_FORMS,
    ChosenPassage,
    ChosenPassages,
    passages_options,
    refuse_idle_options,
    sources_of,
)
from gripway.cli.options.shared import (
    ban_option,
    dial_option,
    flute_options,
    found_options,
    pin_option,
    player_of,
)
from gripway.cli.options.together import choose_option, form_option
from gripway.cli.output import as_json, check_out, json_pieces, out_option, tell, write_out
from gripway.cli.progress import progress_on_stderr
from gripway.errors import RequestError
from gripway.model.house_style import PICTURE, HouseStyle
from gripway.route.result import GAPS, Route
from gripway.tasks.routes import MOST_SPOTS, worth_it
from gripway.tasks.routes import finger as finger_task

if TYPE_CHECKING:
    from rich.console import Console

    from gripway.tasks.editions import Edition

ONLY_NOTES = ("json", "csv")
"""Forms of an answer that need nothing of the score but the passage that was read."""

TACET = "There is no note to finger."

EPILOG = """
\b
Examples:
  gripway finger part.musicxml --bars 12-20
  gripway finger part.musicxml --format musicxml --out part-marked.musicxml
  gripway finger score.mxl --part all --mark figures --format musicxml --out new.mxl
  gripway finger --notes "E6 F#6 G#6 A6 G#6 F#6 E6:1/4" --tempo 120
  gripway finger --notes "E6 F#6 G#6" --pin "n2=T 1 3 | 2 Eb" --explain
  gripway finger --notes "mf E6:1/2" --tempo 60 --format json
  gripway finger notes.txt --tempo 120
  gripway finger part.musicxml --limit "at most 3 unusual grips"
  gripway finger part.musicxml --learn 2
  gripway finger *.musicxml --format musicxml --out marked

\b
Notes are PITCH[:LENGTH] with blanks between: F#6, Bb5:1/8; r is a rest;
pp p mp mf f ff hold until changed; ( ) slur; | may stand anywhere.
key:A a key, tr before a note a trill, {E6 F6} grace notes, |: :| a repeat.
A grip is the touches pressed, left hand | right hand: T 1 3 | 2 Eb.
Fingers: LT L1-L4 of the left hand, R1-R4 of the right.

\b
Exit status: 0 done, 1 done but some note has no grip, a decision has no
place, or some of several scores could not be answered, 2 not done.
"""


@click.command(cls=Headed, epilog=EPILOG)
@passages_options
@flute_options("what the part sounds like")
@dial_option
@pin_option
@ban_option
@choose_option(CHOICES, "What to minimise; standard and movers (fewest moving fingers) are for comparison.")
@form_option(
    ("text", "json", "csv", *MARKING_FORMS, "html", "stand"),
    "musicxml: the score with our marks added; critical: the list of its marked notes (CSV), "
    "critical-html and critical-md the same to print; "
    "legend, legend-html: how to read the marks, for the preface, as text and with diagrams; "
    "decisions: what is decided and marked, as a file for --decisions; "
    "html: a report to look at and to print; "
    "stand: one HTML file for a tablet on the music stand.",
)
@marks_options
@click.option(
    "--keep-fingerings", is_flag=True, help="Keep the fingerings already in the score, where they are grips."
)
@decisions_option
@found_options
@limit_options
@learning_options
@comparing_options
@click.option(
    "--explain", is_flag=True, help="Show every note with its reason, and every part of every cost."
)
@out_option
@click.pass_context
def finger(
    context: click.Context,
    /,
    scores: tuple[Path, ...],
    notes: str | None,
    form: str,
    out: Path | None,
    **asked: Any,
) -> int:
    """Find the least awkward grips for a SCORE (MusicXML, notes as .txt, - for standard input) or --notes.

    Of several SCOREs the answers stand one below another, or in a folder (--out FOLDER).
    """
    if len(scores) < 2:
        return _answered(context, scores[0] if scores else None, notes, form, out, asked)
    if notes is not None:
        raise RequestError(GIVE_ONE, next_step="Leave --notes out, or the SCOREs")
    from gripway.cli.several_scores import answer_each

    def answered(score: Path, target: Path | None, head: str) -> int:
        return _answered(context, score, None, form, target, asked, head)

    return answer_each(context, scores, form, out, answered)


def _answered(
    context: click.Context,
    score: Path | None,
    notes: str | None,
    form: str,
    out: Path | None,
    asked: dict[str, Any],
    head: str = "",
) -> int:
    """Write the answer to one score or line of notes, led by a head; the exit code."""
    inputs = (
        score,
        asked["player_file"],
        asked["house_file"],
        asked["rules_file"],
        asked["decisions_file"],
    )
    check_out(out, *inputs)
    score, notes, stood = notes_given(score, notes)
    refuse_idle_options(context, notes, form)
    refuse_idle_comparing(context, form)
    refuse_idle_learning(context, form)
    opened = sources_of(score, notes, asked, stood)
    sources = opened.sources
    if not sources:
        nothing = _nothing(form, opened)
        write_out(_led(head, nothing), out, *inputs)
        return 0
    if form in MARKING_FORMS and notes is not None:
        sources = (_as_score(sources[0]),)
    _check_form(form, len(sources))
    house = house_of(context)
    if form == "musicxml":
        from gripway.cli.score_output import check_score_out

        check_score_out(sources[0].reading, out, house)
    found = finger_parts(sources, player_of(asked["player_file"], asked["dials"]), asked)
    parts = tuple(
        replace(part, wishes=with_curve(part.wishes, len(part.source.passage.notes), form, asked))
        for part in found
    )
    if score is not None and not asked["renew"]:
        from gripway.cli.renewed_marks import told_of_other_tempos

        parts = told_of_other_tempos(score, parts)
    proof = form == "html" and (asked["house_file"] or asked["bracket"])
    if (form == "html" or form in MARKING_FORMS) and form != "musicxml" and not asked["renew"]:
        from gripway.cli.renewed_marks import refuse_marked, told_of_marks

        if form == "html" and not proof:
            parts = told_of_marks(score, parts)
        else:
            refuse_marked(form, score, parts)
    answer: str | bytes | Iterator[str]
    if form in ONLY_NOTES:  # the bytes of a long part and the places of its notes would lie there to the end
        parts = tuple(replace(part, source=replace(part.source, reading=None)) for part in parts)
        del opened, sources
    if asked["tradeoff"] or asked["alternatives"]:
        routes, answer = _compared(form, parts, asked)
    elif proof or form in MARKING_FORMS:
        from gripway.cli.score_output import edited, marks_answer, write_marks_list, write_pictures

        editions = edited(parts, house, asked)
        routes = [edition.even.route for edition in editions]
        _refuse_conflict(routes)
        if proof:
            answer = _report(parts, routes, asked, house, editions)
        else:
            answer = marks_answer(form, parts, editions, house, {**asked, "out": out})
    else:
        routes = [_route(part) for part in parts]
        if form != "json":
            _refuse_conflict(routes)
        answer = _answer(form, parts, routes, asked)
    if form == "musicxml" and house.style == PICTURE and out is not None:
        write_pictures(parts, editions, house, out)  # before the score that names them
    write_out(_led(head, answer), out, *inputs)
    if form == "musicxml" and asked["renew"] and score is not None and str(score) != "-":
        from gripway.cli.renewed_marks import tell_renewed

        if isinstance(answer, bytes):
            tell_renewed(score, answer, routes[0])
    if form == "musicxml" and out is not None and isinstance(answer, bytes):
        write_marks_list(answer, out, routes, score)
    _refuse_conflict(routes)
    left = any(part.decisions_left for part in parts)
    return 1 if left or any(route.status == GAPS for route in routes) else 0


def _led(head: str, answer: str | bytes | Iterator[str]) -> str | bytes | Iterator[str]:
    """A text with a head; only a text has one."""
    return head + answer if isinstance(answer, str) else answer


def _refuse_conflict(routes: list[Route]) -> None:
    """Raise what stands in the way where limits cannot be kept together."""
    for route in routes:
        if route.limits and route.limits.conflict:
            from gripway.limits.wording import conflict_error

            raise conflict_error(route, route.limits.conflict)


def _compared(
    form: str, parts: tuple[FingerPart, ...], asked: dict[str, Any]
) -> tuple[list[Route], str | bytes]:
    """Several routes of the one part asked for."""
    if len(parts) > 1:
        raise RequestError(
            "routes are compared for one part at a time", place="--part", next_step="Name one part"
        )
    (part,) = parts
    route, answer = comparison(form, part.source.passage, part.mine, part.wishes, asked)
    tell((*part.remarks, *route.passage.remarks))
    return [route], answer


def _nothing(form: str, opened: ChosenPassages) -> str | bytes:
    """The answer where no part that was asked for has a note: the score as it was, or an empty answer."""
    if form == "musicxml" and opened.score is not None:
        from gripway.tasks.scores import bytes_of

        return bytes_of(opened.score)
    if form == "stand" or form.endswith("html"):
        from gripway.page.document import message_page

        return message_page(TACET)
    if form in ("critical", "decisions"):
        from gripway.cli.score_output import no_marks

        return no_marks(form)
    if form == "json":
        return as_json({"status": "tacet", "sentence": TACET, "notes": [], "changes": []})
    return "" if form == "csv" else f"{TACET}\n"


def _as_score(source: ChosenPassage) -> ChosenPassage:
    """A line of notes as a score of its own, to put marks into."""
    from gripway.tasks.reports import written

    reading, passage = written(source.passage)
    return ChosenPassage(passage, reading, None)


def _check_form(form: str, parts: int) -> None:
    """Several parts have several answers: those for programs hold one."""
    if parts > 1 and form in ("json", "csv", "stand"):
        raise RequestError(
            "this form holds the answer for one part",
            place=f"--format {form}",
            next_step="Ask for one --part at a time, or for text, html, musicxml or critical",
        )


def _route(part: FingerPart) -> Route:
    """The route of a part, what was assumed on the way told on standard error."""
    passage = part.source.passage
    with progress_on_stderr(len(passage.notes)) as progress:
        route = finger_task(passage, part.mine, part.wishes, progress)
    tell((*part.remarks, *route.passage.remarks))
    return route


def _report(
    parts: tuple[FingerPart, ...],
    routes: list[Route],
    asked: dict[str, Any],
    house: HouseStyle | None = None,
    editions: "tuple[Edition | None, ...]" = (),
) -> str:
    """The report of all parts, with their marks where a house style was asked for."""
    from gripway.tasks.reports import ReportAsked, reports

    found = [
        ReportAsked(
            part.source.reading, route, part.mine, part.wishes, part.remarks, asked["which"], house, edition
        )
        for part, route, edition in zip(parts, routes, editions or [None] * len(parts), strict=True)
    ]
    return reports(found, bars=asked["bars"])


def _answer(
    form: str, parts: tuple[FingerPart, ...], routes: list[Route], asked: dict[str, Any]
) -> str | Iterator[str]:
    """The routes as text, or the one route as data."""
    if form == "json":
        from gripway.route.route_data import streamed_data

        return json_pieces(streamed_data(routes[0]))
    if form == "csv":
        from gripway.csv_text import csv_text
        from gripway.limits.wording import limit_remark
        from gripway.route.route_data import note_rows

        tell(limit_remark(routes[0]))
        return csv_text(note_rows(routes[0]))
    if form == "html":
        return _report(parts, routes, asked)
    if form == "stand":
        from gripway.limits.wording import limit_remark
        from gripway.tasks.reports import stand_file

        part = parts[0]
        tell(limit_remark(routes[0]))
        return stand_file(part.source.reading, routes[0], part.mine, part.wishes, bars=asked["bars"])
    from gripway.cli.text.route_text import route_text

    texts = []
    for part, route in zip(parts, routes, strict=True):
        worth = worth_it(route, part.mine, part.wishes, MOST_SPOTS if asked["explain"] else 0)
        shown = {key: asked[key] for key in ("choose", "learn", "explain", "curve")}
        beside = _own_cents(part, route, asked["player_file"]) if asked["explain"] else None
        text = route_text(route, part.mine.instrument, worth, beside=beside, **shown)
        texts.append(f"{part.title}\n{text}" if len(parts) > 1 else text)
    return "\n".join(texts)


def _own_cents(
    part: FingerPart, route: Route, player_file: Path | None
) -> "Callable[[Console], None] | None":
    """What prints what the player's own readings change in a part; None without any."""
    if not part.mine.player.cents:
        return None
    from gripway.cli.text.own.own_cents_text import own_cents_rows
    from gripway.tasks.own.traced_cents import traced_cents

    changes = traced_cents(route, part.mine, part.wishes)
    own, source = part.mine.player.cents, "your list"
    if player_file is not None:
        from gripway.catalog.own_files.players_list import list_of

        source = list_of(player_file).name
    return lambda console: own_cents_rows(console, route, changes, own, source)
