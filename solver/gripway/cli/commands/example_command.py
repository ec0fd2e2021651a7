"""`gripway example [NAME]`: invented music and files to try things with."""

from pathlib import Path

import click

from gripway.cli.options.heads import Headed
from gripway.cli.options.together import names_from
from gripway.cli.output import out_option, write_out
from gripway.tasks.reference import example as example_task
from gripway.tasks.reference import examples

EPILOG = """
\b
Examples:
  gripway example                                  what there is
  gripway example rooftop_study > study.musicxml   then: gripway finger study.musicxml
  gripway example player.toml --out me.toml
"""


@click.command(cls=Headed, epilog=EPILOG)
@click.argument("name", required=False, shell_complete=names_from(examples))
@out_option
def example(name: str | None, out: Path | None) -> None:
    """Print the example of a NAME (without an ending: the score), or list the examples."""
    if name is not None:
        write_out(example_task(name), out)
        return
    width = max(map(len, examples())) + 3
    lines = (f"{each:{width}}{about}\n" for each, about in examples().items())
    write_out("".join(lines), out)
