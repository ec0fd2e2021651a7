"""What can be taken away: the marked score and its list of marks, report, CSV, and more."""

from collections.abc import Iterable

from starlette.responses import Response

from gripway.catalog.own_files.tuner_list import tuner_rows
from gripway.csv_text import csv_text
from gripway.errors import RequestError
from gripway.model.pitch import plain_name
from gripway.model.player import Ban
from gripway.route.result import Route
from gripway.route.route_data import note_rows
from gripway.tasks.decisions import decisions_text, pinned_decisions
from gripway.tasks.marks.marked_scores import mark, marks_list_of
from gripway.tasks.reports import report, stand_file
from gripway.tasks.scores import whole_part
from gripway.web.asking import PageWishes
from gripway.web.replies import attachment
from gripway.web.work import OpenWork

KINDS = ("musicxml", "marks", "report", "stand", "csv", "player", "tuner", "decisions")


def download(kind: str, work: OpenWork, asked: PageWishes, route: Route) -> Response:
    """One of KINDS as a file. Raises RequestError for another kind."""
    if kind == "report":
        page = report(
            work.reading(asked), route, work.instrument(asked)[0], work.full_wishes(asked), bars=asked.bars
        )
        return attachment(page.encode(), "report.html", "text/html; charset=utf-8")
    if kind == "stand":
        reading, wishes = work.reading(asked), work.full_wishes(asked)
        text = stand_file(reading, route, work.instrument(asked)[0], wishes, bars=asked.bars)
        return attachment(text.encode(), "stand.html", "text/html; charset=utf-8")
    if kind == "csv":
        text = csv_text(note_rows(route))
        return attachment(text.encode(), "grips.csv", "text/csv; charset=utf-8")
    if kind == "player":
        text = player_toml(work.instrument(asked)[0].id, asked)
        return attachment(text.encode(), "player.toml", "application/toml; charset=utf-8")
    if kind == "tuner":
        return attachment(tuner_csv(asked).encode(), "tuner.csv", "text/csv; charset=utf-8")
    if kind == "decisions":
        reading = work.reading(asked)
        found = pinned_decisions(whole_part(reading), reading.passage.part, asked.pins)
        return attachment(decisions_text(found).encode(), "decisions.toml", "application/toml; charset=utf-8")
    if kind not in ("musicxml", "marks"):
        raise RequestError(
            f"no such file to take away: {kind[:40]!r}", next_step=f"There are {', '.join(KINDS)}"
        )
    reading = work.reading(asked)
    data = mark(reading, route)
    if kind == "marks":
        text = marks_list_of(data, reading.source.name, [route])
        return attachment(text.encode(), "marked.marks.toml", "application/toml; charset=utf-8")
    if reading.source.archive is not None:
        return attachment(data, "marked.mxl", "application/vnd.recordare.musicxml")
    return attachment(data, "marked.musicxml", "application/vnd.recordare.musicxml+xml")


def player_toml(instrument: str, asked: PageWishes) -> str:
    """The player's own file that says what the wishes say of flute, dials and bans."""
    grips = [ban for ban in asked.bans if ban.kind is None]
    kinds = [ban.kind for ban in asked.bans if ban.kind is not None]
    lines = [
        "# Your own file for gripway: gripway finger SCORE --player player.toml",
        "",
        "[flute]",
        f'instrument = "{instrument}"',
        f"parts = {_list(asked.parts)}",
    ]
    if asked.dials:
        lines += ["", "[dials]", *(f"{name} = {value:g}" for name, value in asked.dials)]
    if asked.bans:
        lines += ["", "[bans]"]
        lines += [f"grips = {_list(map(_ban_words, grips))}"] if grips else []
        lines += [f"kinds = {_list(kind for kind in kinds if kind)}"] if kinds else []
    if asked.cents:
        lines += [
            "",
            "# Your readings are a list of their own: save it beside this file, then add",
            "# [cents]",
            '# file = "tuner.csv"',
        ]
    return "\n".join(lines) + "\n"


def tuner_csv(asked: PageWishes) -> str:
    """The readings of a tuner as the list they were read from. Raises RequestError where there are none."""
    if not asked.cents:
        raise RequestError(
            "there are no readings of your tuner", next_step="Open a list of them (.csv) on this page first"
        )
    return csv_text(tuner_rows(asked.cents))


def _ban_words(ban: Ban) -> str:
    return f"{plain_name(ban.pitch or 0)}: {ban.grip.text if ban.grip else ''}"


def _list(texts: Iterable[str]) -> str:
    return "[" + ", ".join(f'"{text}"' for text in texts) + "]"
