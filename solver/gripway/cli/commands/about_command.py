"""`gripway about`: what a report of a fault should say of the machine; nothing leaves it."""

import os
import sys
from dataclasses import asdict
from pathlib import Path

import click

from gripway.catalog.installation import NOT_INSTALLED, installation, libraries
from gripway.cli.options.heads import Headed
from gripway.cli.options.together import form_option
from gripway.cli.output import as_json, out_option, write_out

EPILOG = """
\b
Examples:
  gripway about
  gripway about --licences
  gripway about --format json --out about.json
"""


@click.command(cls=Headed, epilog=EPILOG)
@form_option(("text", "json"), "text to read, json for programs.")
@click.option("--licences", is_flag=True, help="The libraries in use instead, each with its licence.")
@out_option
def about(form: str, licences: bool, out: Path | None) -> None:
    """Print versions, folders and settings of this installation, for a report of a fault."""
    if licences:
        write_out(_licences(form), out)
        return
    facts = _facts()
    if form == "json":
        write_out(as_json(facts), out)
        return
    write_out("".join(f"{name:12}{text}\n" for name, text in facts.items()), out)


def _licences(form: str) -> str:
    """The libraries with their licences, as a table or as data."""
    found = libraries()
    if form == "json":
        return as_json({"libraries": [asdict(each) for each in found]})
    rows = [("library", "version", "licence", "extra")]
    rows += [(each.name, each.version or NOT_INSTALLED, each.licence, each.extra) for each in found]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    lines = ("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in rows)
    return "".join(f"{line.rstrip()}\n" for line in lines)


def _facts() -> dict[str, str]:
    """Every fact by its name, as text."""
    terminal = "terminal" if sys.stdout.isatty() else "no terminal"
    return {
        **installation(),
        "output": f"{terminal}, TERM {os.environ.get('TERM', 'not set')}, encoding {sys.stdout.encoding}",
    }
