"""A marked score as an answer: where it may go, and what is said beside it."""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from gripway.cli.output import tell
from gripway.errors import RequestError
from gripway.model.passage import Remark
from gripway.page.marks import played_differently
from gripway.route.result import Route
from gripway.score.reading import ScoreReading
from gripway.tasks.reports import written
from gripway.tasks.scores import mark

PLAIN_ENDINGS = (".musicxml", ".xml")
COMPRESSED_ENDING = ".mxl"


def check_score_out(reading: ScoreReading | None, out: Path | None) -> None:
    """Refuse a name that says something else than the file will be, and a zip on a terminal."""
    compressed = reading is not None and reading.source.archive is not None
    if out is None:
        if compressed and sys.stdout.isatty():
            raise RequestError(
                "a compressed score is nothing for a screen", next_step="Name a file: --out marked.mxl"
            )
        return
    ending = out.suffix.lower()
    if compressed and ending in PLAIN_ENDINGS:
        raise RequestError(
            "the marked score is compressed like its source",
            place=str(out),
            next_step=f"Let the name end in {COMPRESSED_ENDING}",
        )
    if not compressed and ending == COMPRESSED_ENDING:
        raise RequestError(
            "the marked score is not compressed" + (", like its source" if reading is not None else ""),
            place=str(out),
            next_step=f"Let the name end in {' or '.join(PLAIN_ENDINGS)}",
        )


def marked(reading: ScoreReading | None, route: Route, asked: dict[str, Any]) -> bytes:
    """The marked score, for a line of notes one of its own; what marks cannot say goes to standard error."""
    if reading is None:
        reading, route = written(route)
    tell(tuple(_repeats(route)))
    return mark(reading, route, which=asked["which"], style=asked["style"], bracket=asked["bracket"])


def _repeats(route: Route) -> Iterator[Remark]:
    """A remark for every written note that a repeat plays with another grip than its mark says."""
    first = {note.note.id: note for note in reversed(route.notes)}
    for note in played_differently(route):
        before = first[note.note.id].candidate
        grips = [grip.grip.short if grip else "no grip" for grip in (before, note.candidate)]
        yield Remark(
            f"{note.note.pitch.name} is {grips[0]} the first time and {grips[1]} in the repeat; "
            "its mark says the first",
            bar=note.note.bar,
            note_id=note.note.id,
        )
