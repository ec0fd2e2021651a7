"""`gripway schema [NAME]`: the JSON Schema of an answer."""

import json
from pathlib import Path

import click

from gripway.cli.options.heads import Headed
from gripway.cli.options.passage_choice import refuse
from gripway.cli.options.together import form_option, names_from
from gripway.cli.output import out_option, write_out
from gripway.cli.text.schema_text import answer_list, schema_text
from gripway.tasks.reference import answer_schema, answers

EPILOG = """
\b
Examples:
  gripway schema                               the answers there are
  gripway schema finger > finger.schema.json   for programs
  gripway schema finger --format text          to read: every key with what it holds
"""


@click.command(cls=Headed, epilog=EPILOG)
@click.argument("name", required=False, shell_complete=names_from(answers))
@form_option(("json", "text"), "json: the JSON Schema; text: its keys with what they hold.")
@out_option
@click.pass_context
def schema(context: click.Context, /, name: str | None, form: str, out: Path | None) -> None:
    """Print the JSON Schema (2020-12) of the answer of a command NAME, or list the answers."""
    if name is None:
        refuse(context, ("form",), "is for the schema of a NAME")
        write_out(answer_list(answers()), out)
        return
    found = answer_schema(name)
    write_out(
        schema_text(name, found)
        if form == "text"
        else json.dumps(found, indent=1, ensure_ascii=False) + "\n",
        out,
    )
