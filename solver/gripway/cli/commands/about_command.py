"""`gripway about`: what a report of a fault should say of the machine; nothing leaves it."""

import os
import sys
from pathlib import Path

import click

from gripway.catalog.installation import installation
from gripway.cli.options.together import form_option
from gripway.cli.output import as_json, out_option, write_out

EPILOG = """
\b
Examples:
  gripway about
  gripway about --format json --out about.json
"""


@click.command(epilog=EPILOG)
@form_option(("text", "json"), "text to read, json for programs.")
@out_option
def about(form: str, out: Path | None) -> None:
    """Print versions, folders and settings of this installation, for a report of a fault."""
    facts = _facts()
    if form == "json":
        write_out(as_json({"schema": 1, **facts}), out)
        return
    write_out("".join(f"{name:12}{text}\n" for name, text in facts.items()), out)


def _facts() -> dict[str, str]:
    """Every fact by its name, as text."""
    terminal = "terminal" if sys.stdout.isatty() else "no terminal"
    return {
        **installation(),
        "output": f"{terminal}, TERM {os.environ.get('TERM', 'not set')}, encoding {sys.stdout.encoding}",
    }
