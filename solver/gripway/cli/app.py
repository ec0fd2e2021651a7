"""The command `gripway`: its subcommands, its errors, its exit codes.

Exit 0: done. 1: done with gaps (some note has no grip). 2: the request cannot be carried out.
130: stopped by the keyboard, as shells count it.
"""

import gc
import os
import sys
from importlib import import_module

import click

from gripway.errors import GripwayError

EPILOG = """
\b
Examples:
  gripway finger examples/rooftop_study.musicxml
  gripway finger --notes "E6 F#6 G#6 A6 | G#6 F#6 E6:1/4" --tempo 120
  gripway grips F#6
  gripway trill F6 G6
  gripway practise examples/ladder_cell.musicxml --minutes 20 --days 5
  gripway diagram "T 1 3 | 2 Eb" --before F6 --out grip.svg

Playing can hurt: stop on pain, numbness or tingling, rest often, protect your hearing, and ask
your teacher or a clinician. gripway gives no medical advice.
"""


COMMANDS = {
    "finger": "gripway.cli.commands.finger_command",
    "grips": "gripway.cli.commands.grips_command",
    "graph": "gripway.cli.commands.graph_command",
    "trill": "gripway.cli.commands.trill_command",
    "consistency": "gripway.cli.commands.consistency_command",
    "serve": "gripway.web.serve_command",
    "diagram": "gripway.cli.commands.diagram_command",
    "practise": "gripway.cli.commands.practise_command",
    "cells": "gripway.cli.commands.cells_command",
    "completion": "gripway.cli.commands.completion_command",
}
"""The subcommands and the modules they are loaded from when they are asked for."""


class Subcommands(click.Group):
    """Loads a subcommand only when it is used: starting up is a good part of a short answer."""

    def list_commands(self, _context: click.Context) -> list[str]:
        """Names in the order of the help page."""
        return list(COMMANDS)

    def get_command(self, _context: click.Context, name: str) -> click.Command | None:
        """The subcommand, or None where there is no such name."""
        if name not in COMMANDS:
            return None
        command: click.Command = getattr(import_module(COMMANDS[name]), name)
        return command


@click.group(
    cls=Subcommands,
    epilog=EPILOG,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(package_name="gripway")
def gripway() -> None:
    """Find the least awkward sequence of flute fingerings (grips) for a written passage."""


def launch() -> None:
    """Run the command as a process of its own, and end the process with its exit code.

    It ends without taking its memory apart piece by piece: everything is written and flushed
    by then, and the tidying would cost a tenth of a short answer. For the same reason nobody
    looks for garbage meanwhile.
    """
    gc.disable()
    code = run()
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(code)


def main() -> None:
    """Run the command; SystemExit carries the exit code."""
    sys.exit(run())


def run() -> int:
    """Run the command; errors of ours become one message and exit code 2, never a traceback."""
    try:
        code = gripway.main(standalone_mode=False)
    except GripwayError as problem:
        click.echo(f"gripway: {problem}", err=True)
        code = 2
    except click.exceptions.Abort:
        click.echo("gripway: stopped", err=True)
        code = 130
    except click.ClickException as problem:
        asked = getattr(problem, "ctx", None)
        where = asked.command_path if asked else "gripway"
        click.echo(f"gripway: {problem.format_message().rstrip('.')}. See {where} --help", err=True)
        code = 2
    except OSError as problem:
        click.echo(f"gripway: {problem.filename or 'the system'}: {problem.strerror}", err=True)
        code = 2
    return int(code or 0)
