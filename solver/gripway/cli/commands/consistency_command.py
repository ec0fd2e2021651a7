"""`gripway consistency`: the marks of one or several scores, looked through for what does not agree."""

from dataclasses import asdict
from pathlib import Path
from typing import Any

import click

from gripway.cli.decisions_asked import decisions_of
from gripway.cli.options.heads import Headed
from gripway.cli.options.marks_options import decisions_option, house_option
from gripway.cli.options.passage_choice import read_options
from gripway.cli.options.shared import (
    every_part_options,
    flute_options,
    found_of,
    found_options,
    parts_of,
    player_of,
)
from gripway.cli.options.together import form_option
from gripway.cli.output import as_json, check_out, out_option, tell, write_out
from gripway.csv_text import csv_text
from gripway.edition.consistency import Finding
from gripway.errors import RequestError

COLUMNS = ("kind", "file", "part", "bar", "note", "id", "what", "next_step")

EPILOG = """
\b
Examples:
  gripway consistency flute-1.musicxml flute-2.musicxml
  gripway consistency score.musicxml --part "Flute 1" --with b-foot
  gripway consistency score.musicxml --format csv --out list.csv

\b
Looked for: the same figure with another grip; a thumb never released from Tb;
held fingers never released, or released and not held; a sim. that refers to
nothing; a grip for trills on a long note; a grip that needs a part the flute
lacks; a grip of another note, or of no hand; a fingering that does not read as
a grip; with --decisions, a mark against them.

\b
Exit status: 0 nothing found, 1 something found, 2 not done.
"""


@click.command(cls=Headed, epilog=EPILOG)
@click.argument(
    "scores", nargs=-1, required=True, metavar="SCORE...", type=click.Path(path_type=Path, allow_dash=True)
)
@every_part_options()
@flute_options("what each part sounds like")
@found_options
@decisions_option
@house_option
@form_option(("text", "json", "csv"))
@out_option
def consistency(scores: tuple[Path, ...], form: str, out: Path | None, **asked: Any) -> int:
    """Look through the marks of SCOREs for what does not agree: with itself, the notes, the flute."""
    from gripway.tasks.marks.consistency_lists import consistency as consistency_task

    check_out(out, *scores, asked["player_file"], asked["decisions_file"], asked["house_file"])
    known = decisions_of(asked["decisions_file"], asked["house_file"])
    if sum(str(score) == "-" for score in scores) > 1:
        raise RequestError("standard input can be read once", place="SCORE", next_step="Name - only once")
    found = consistency_task(
        [str(score) for score in scores],
        parts=asked["wanted_parts"],
        options=read_options(asked | {"bars": None}),
        instrument=asked["instrument"],
        with_parts=parts_of(asked["parts"]),
        player=player_of(asked["player_file"]),
        found=found_of(asked["found"], asked["found_wishes"]),
        decisions=known,
        told=lambda remark: tell((remark,)),
    )
    write_out(_answer(found, form), out, *scores, asked["player_file"])
    return 1 if found else 0


def _answer(found: tuple[Finding, ...], form: str) -> str:
    """The findings in the form asked for."""
    rows = [asdict(finding) for finding in found]
    if form == "json":
        return as_json({"findings": rows})
    if form == "csv":
        return csv_text(rows, COLUMNS)
    return "".join(_text(found)) if found else "Nothing to report: the marks agree.\n"


def _text(found: tuple[Finding, ...]) -> list[str]:
    """A paragraph a part, a line and its next step a finding."""
    lines: list[str] = []
    head = ""
    for finding in found:
        place = f"{finding.file}, {finding.part}"
        if place != head:
            lines.append(f"{'' if not head else chr(10)}{place}\n")
            head = place
        bar = f"bar {finding.bar}" if finding.bar else finding.id
        lines.append(f"  {bar}, {finding.note}: {finding.what}\n    {finding.next_step}.\n")
    lines.append(f"\n{len(found)} to look at\n")
    return lines
