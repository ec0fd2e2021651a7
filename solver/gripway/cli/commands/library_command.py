"""`gripway library`: all parts of all scores of a folder or a list, into marked scores and tables."""

import os
from dataclasses import asdict
from pathlib import Path
from typing import Any

import click

from gripway.cli.options.heads import Headed
from gripway.cli.options.marks_options import house_of, marks_options
from gripway.cli.options.shared import (
    dial_option,
    every_part_options,
    flute_options,
    found_of,
    found_options,
    parts_of,
    player_of,
)
from gripway.cli.options.together import file_option, form_option
from gripway.cli.output import as_json, write_out
from gripway.cli.progress import library_progress
from gripway.cli.stderr_messages import quiet_option, say, verbose_option
from gripway.errors import RequestError
from gripway.free_memory import collect_seldom
from gripway.library.engines import Engine, here, in_processes
from gripway.library.library_wishes import LibraryWishes
from gripway.library.score_files import score_files
from gripway.library.summary import Summary

EPILOG = """
\b
Examples:
  gripway library scores --out fingered
  gripway library list.txt --out fingered --house-style house.toml --reports
  gripway library scores --out fingered --jobs 4 --parquet
  gripway library scores --out fingered --scheduler tcp://10.0.0.7:8786

\b
In the folder of the answer: marked/ has the scores with marks, reports/ a report
a part, data/ the tables (parts, hard_spots, grips, consistency, remarks, errors,
hardest_changes, unusual_grips, statistics), library.html the plots.
Ended in the middle, the same command goes on where it was.

\b
Exit status: 0 done; 1 done, but a score could not be read or a note has no grip;
2 not done.
"""


@click.command(cls=Headed, epilog=EPILOG)
@click.argument("where", metavar="FOLDER|LIST", type=click.Path(path_type=Path))
@click.option(
    "--out",
    "-o",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    required=True,
    help="The folder of the answer: a new one, or that of a run to go on with.",
)
@every_part_options(" in every score")
@flute_options("what each part sounds like")
@dial_option
@marks_options
@click.option(
    "--keep-fingerings", is_flag=True, help="Keep the fingerings already in the scores, where they are grips."
)
@file_option(
    "--decisions",
    "decisions_folder",
    "An editor's decisions: for the score a/b.musicxml the file a/b.musicxml.toml of this folder.",
    "FOLDER",
)
@found_options
@click.option("--reports", is_flag=True, help="A report for every part, too; it takes longer.")
@click.option("--parquet", is_flag=True, help="The tables as Parquet, too (pip install gripway[library]).")
@click.option(
    "--jobs", type=int, metavar="N", help="So many processes at a time  [default: one a processor]."
)
@click.option(
    "--scheduler",
    metavar="ADDRESS",
    help="Let the workers of this Dask scheduler do it: tcp://HOST:PORT (pip install gripway[cluster]).",
)
@form_option(("text", "json"))
@quiet_option
@verbose_option
@click.pass_context
def library(context: click.Context, /, where: Path, out: Path, form: str, **asked: Any) -> int:
    """Mark all flute parts of all scores in a FOLDER (or named in a LIST), with tables of the whole."""
    from gripway.library.run import run_library
    from gripway.library.tables import check_parquet
    from gripway.score.reading.read_options import ReadOptions

    collect_seldom()  # a long run, unlike a short answer, has to give memory back
    if asked["parquet"]:
        check_parquet()
    found = score_files(where, asked["decisions_folder"])
    if found.passed_over:
        say(f"remark: files that are no scores by their ending, passed over: {found.passed_over}")
    wishes = LibraryWishes(
        parts=asked["wanted_parts"],
        options=ReadOptions(tempo=asked["tempo"], voice=asked["voice"], unmarked=asked["renew"]),
        instrument=asked["instrument"],
        with_parts=parts_of(asked["parts"]),
        player=player_of(asked["player_file"], asked["dials"]),
        found=found_of(asked["found"], asked["found_wishes"]),
        house=house_of(context),
        keep_fingerings=asked["keep_fingerings"],
        reports=asked["reports"],
    )
    engine = _engine(asked["jobs"], asked["scheduler"], len(found.scores))
    with library_progress() as told:
        summary, advice = run_library(found.scores, out, wishes, engine, parquet=asked["parquet"], told=told)
    write_out(_answer(summary, advice, out, form), None)
    return 1 if summary.errors or summary.without_grip else 0


def _engine(jobs: int | None, scheduler: str | None, scores: int) -> Engine:
    """Who works on the scores."""
    if scheduler is not None:
        if jobs is not None:
            raise RequestError(
                "the cluster has its own workers", place="--jobs", next_step="Leave --jobs out"
            )
        from gripway.library.cluster import on_cluster

        return on_cluster(scheduler)
    if jobs is None:
        jobs = os.cpu_count() or 1
    if jobs < 1:
        raise RequestError(f"{jobs} processes do nothing", place="--jobs", next_step="Give 1 or more")
    jobs = min(jobs, scores)
    return here if jobs == 1 else in_processes(jobs)


def _answer(summary: Summary, advice: str, out: Path, form: str) -> str:
    """What came of the run."""
    if form == "json":
        return as_json({"sentence": advice, "folder": str(out), **asdict(summary)})
    lines = [
        advice,
        "",
        f"{summary.scores} scores, {summary.parts} parts, {summary.notes} notes, {summary.marks} marks",
        f"{summary.late_changes} changes are too fast; {summary.new_grips} grips to learn, part by part",
        f"{summary.findings} places where marks do not agree",
    ]
    if summary.without_grip:
        lines.append(f"{summary.without_grip} notes have no grip (without_grip in {out}/data/parts.csv)")
    if summary.errors:
        lines.append(f"{summary.errors} scores could not be worked on: {out}/data/errors.csv says why")
    lines.append(f"look at {out}/library.html and {out}/data/")
    return "\n".join(lines) + "\n"
