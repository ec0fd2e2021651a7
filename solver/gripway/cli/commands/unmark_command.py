"""`gripway unmark`: our own marks taken out of a score."""

from pathlib import Path

import click

from gripway.cli.options.heads import Headed
from gripway.cli.output import check_no_screen, check_out, out_option, tell, write_out

EPILOG = """
\b
Examples:
  gripway unmark part-marked.musicxml --out part.musicxml
  gripway unmark saved.musicxml --marks-list part.marks.toml --out part.musicxml
  gripway finger part-marked.musicxml --renew --format musicxml --out new.musicxml

\b
Only what gripway put in comes out, byte for byte; other fingerings stay. Where
another program has saved the score, the marks are found by the list that stands
beside a marked score. To mark anew in one step: gripway finger --renew.

\b
Exit status: 0 done, 1 done but a mark is left or was not found, 2 not done.
"""


NOTHING_FOUND = "; if another program has saved the score, name the list of its marks with --marks-list"


@click.command(cls=Headed, epilog=EPILOG)
@click.argument("score", metavar="SCORE", type=click.Path(path_type=Path, allow_dash=True))
@click.option(
    "--marks-list",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="The list of our marks, or the marked score as gripway wrote it  [default: the list beside SCORE].",
)
@out_option
def unmark(score: Path, marks_list: Path | None, out: Path | None) -> int:
    """Take our own marks out of a SCORE again (MusicXML, - for standard input)."""
    from gripway.tasks.marks.marked_scores import unmark as unmark_task
    from gripway.tasks.scores import bytes_of

    check_out(out, score, marks_list)
    bare = unmark_task(score, marks_list)
    if bare.source.archive is not None and out is None:
        check_no_screen("bare.mxl")
    tell(bare.remarks)
    marks = "1 mark of ours" if bare.taken == 1 else f"{bare.taken} marks of ours"
    click.echo(f"{marks} taken out{'' if bare.taken or bare.remarks else NOTHING_FOUND}", err=True)
    write_out(bytes_of(bare.source), out, score, marks_list)
    return 1 if bare.remarks else 0
