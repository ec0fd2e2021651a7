"""Passages in, marked scores out."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from gripway.model.passage import Passage
from gripway.route.result import Route

if TYPE_CHECKING:  # what only some tasks need is imported in them: a short question starts quickly
    from gripway.score.options import ReadOptions
    from gripway.score.reading import ScoreReading


def notes(text: str, tempo: float | None = None, unit: str = "1/16") -> Passage:
    """The passage of a line of notes, for example `mf E6:1/2 (F#6 G6)`.

    `tempo` is in quarters a minute, 96 without one; `unit` the length of a note without one.
    Raises NotationError at the word that means nothing.
    """
    from gripway.score.notation import DEFAULT_TEMPO, length_of, read_notation

    return read_notation(text, length_of(unit, "unit"), DEFAULT_TEMPO if tempo is None else tempo)


def read(path: str | Path, options: "ReadOptions | None" = None) -> "ScoreReading":
    """A score file and the passage in it; ScoreError says what is wrong and where.

    Tempo words are understood unless `options` bring their own.
    """
    from gripway.catalog.tempo_words import tempo_words
    from gripway.score.options import ReadOptions
    from gripway.score.reading import load_score

    options = options or ReadOptions()
    if not options.tempo_words:
        options = replace(options, tempo_words=tempo_words())
    return load_score("-" if str(path) == "-" else Path(path), options)


def mark(
    reading: "ScoreReading",
    route: Route,
    which: str = "needed",
    style: str = "fingering",
    bracket: bool = False,
) -> bytes:
    """The score's own bytes with the route's marks inserted; see gripway.page.marks."""
    from gripway.page.marks import marked_score

    return marked_score(reading, route, which=which, style=style, bracket=bracket)
