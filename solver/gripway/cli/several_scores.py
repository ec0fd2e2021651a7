"""Several scores in one call: each is answered by itself, and what went wrong is told at the end."""

from collections.abc import Callable, Sequence
from pathlib import Path

import click

from gripway.cli.argument_words import place_of
from gripway.cli.options.notes_text import ENDING
from gripway.cli.options.passage_choice import refuse, refuse_idle_options
from gripway.cli.stderr_messages import say_error
from gripway.errors import GripwayError, RequestError

FOR_ONE_SCORE = ("pins", "bars", "differ_in", "decisions_file")
"""Options (by parameter name) that speak of places in one score."""

ENDINGS = {
    "text": ".txt",
    "json": ".json",
    "csv": ".csv",
    "critical": ".critical.csv",
    "critical-html": ".critical.html",
    "critical-md": ".critical.md",
    "legend": ".legend.txt",
    "legend-html": ".legend.html",
    "decisions": ".decisions.toml",
    "html": ".html",
    "stand": ".stand.html",
}
"""How the answer to a score is named behind the score's own name, by its form."""

SCORES = (".musicxml", ".xml", ".mxl")
"""Endings of scores that a marked score is named alike with."""

Work = Callable[[Path, Path | None, str], int]
"""Answers a score into a file (None: the screen), the answer led by a head; gives an exit code."""


def answer_each(
    context: click.Context, scores: Sequence[Path], form: str, out: Path | None, answered: Work
) -> int:
    """Every score answered in its turn: 0, 1 where something is missing or refused, 2 where all are refused.

    Raises RequestError for what can be asked of one score only, before any is read.
    """
    refuse(context, FOR_ONE_SCORE, "is for one SCORE at a time")
    if any(str(score) == "-" for score in scores):
        raise RequestError("standard input is one score", place="SCORE", next_step="Name files, or - alone")
    notes = "" if all(score.suffix.lower() == ENDING for score in scores) else None
    refuse_idle_options(context, notes, form)
    codes: list[int] = []
    refused: list[tuple[Path, GripwayError]] = []
    for score, target in zip(scores, _targets(scores, form, out), strict=True):
        head = f"{score}\n" if target is None else ""
        try:
            codes.append(answered(score, target, f"\n{head}" if head and codes else head))
        except GripwayError as problem:
            refused.append((score, problem))
    for score, why in refused:
        where = place_of(why)
        place = where if score.name in where else f"{score.name}: {where}".rstrip(": ")
        say_error("request", why.what, why.next_step, place)
    if not codes:
        return 2
    return 1 if refused or any(codes) else 0


def _targets(scores: Sequence[Path], form: str, out: Path | None) -> list[Path | None]:
    """Where each answer goes: into a folder, which is made if need be, or one after another on the screen."""
    if out is None:
        if form != "text":
            raise RequestError(
                "several answers in this form need a file each",
                place=f"--format {form}",
                next_step="Name a folder for them: --out FOLDER",
            )
        return [None] * len(scores)
    if any(out.resolve() == score.resolve().parent for score in scores):
        raise RequestError(
            "this folder holds the scores themselves",
            place=str(out),
            next_step="Name another folder, or a new one, with --out",
        )
    names = [_name(score, form) for score in scores]
    for place, name in enumerate(names):
        if name.casefold() in map(str.casefold, names[:place]):
            raise RequestError(
                f"two answers would be named {name}",
                place=str(scores[place]),
                next_step="Ask for it by itself, with another --out",
            )
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise RequestError(
            f"cannot be a folder for several answers: {problem.strerror}",
            place=str(out),
            next_step="Name another folder with --out",
        ) from None
    return [out / name for name in names]


def _name(score: Path, form: str) -> str:
    if form == "musicxml":
        return score.name if score.suffix.lower() in SCORES else f"{score.stem}.musicxml"
    return score.stem + ENDINGS[form]
