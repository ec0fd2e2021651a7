"""`gripway tables`: what the tables hold, and their sources."""

import click

from gripway.cli.options.heads import Headed
from gripway.cli.output import write_out
from gripway.cli.text.columns_text import columns_text, sources_text
from gripway.tasks.reference import table_columns, table_sources

EPILOG = """
\b
Examples:
  gripway tables                every table with its columns and what they hold
  gripway tables --sources      where the rows come from, by author
"""


@click.command(cls=Headed, epilog=EPILOG)
@click.option("--sources", is_flag=True, help="Print the sources the rows cite.")
def tables(sources: bool) -> None:
    """List the tables with their columns and what they hold."""
    write_out(sources_text(table_sources()) if sources else columns_text(table_columns()), None)
