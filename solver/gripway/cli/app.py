"""The command `gripway`: its subcommands, its errors, its exit codes.

Exit 0: done. 1: done with gaps (some note has no grip). 2: the request cannot be carried out.
70: a fault of gripway's own (as sysexits of BSD has it). 130: stopped by the keyboard, as shells count it.
"""

import gc
import os
import sys
from importlib import import_module
from traceback import extract_tb

import click

from gripway.cli.argument_words import in_options, place_of
from gripway.cli.stderr_messages import say_error
from gripway.cli.streams import drop_stdout, open_streams
from gripway.errors import GripwayError, shortened

EPILOG = """
\b
Examples:
  gripway finger examples/rooftop_study.musicxml
  gripway finger --notes "E6 F#6 G#6 A6 | G#6 F#6 E6:1/4" --tempo 120
  gripway grips F#6
  gripway trill F6 G6
  gripway practise examples/ladder_cell.musicxml --minutes 20 --days 5
  gripway library scores --out fingered
  gripway diagram "T 1 3 | 2 Eb" --before F6 --out grip.svg
  gripway help                             the topics of the manual

\b
Exit status: 0 done; 1 done, but something is missing or found (each command's
help says what); 2 not done; 70 a fault in gripway; 130 stopped by the keyboard.

Playing can hurt: stop on pain, numbness or tingling, rest often, protect your hearing, and ask
your teacher or a clinician. gripway gives no medical advice.
"""


MODULES = (
    "gripway.cli.commands.finger_command",
    "gripway.cli.commands.grips_command",
    "gripway.cli.commands.graph_command",
    "gripway.cli.commands.trill_command",
    "gripway.cli.commands.consistency_command",
    "gripway.cli.commands.unmark_command",
    "gripway.cli.commands.library_command",
    "gripway.web.serve_command",
    "gripway.cli.commands.diagram_command",
    "gripway.cli.commands.practise_command",
    "gripway.cli.commands.cells_command",
    "gripway.cli.commands.warmup_command",
    "gripway.cli.commands.own.listen_command",
    "gripway.cli.commands.own.own_times_command",
    "gripway.cli.commands.own.evenness_command",
    "gripway.cli.commands.own.taste_command",
    "gripway.cli.commands.tables_command",
    "gripway.cli.commands.schema_command",
    "gripway.cli.commands.help_command",
    "gripway.cli.commands.example_command",
    "gripway.cli.commands.about_command",
    "gripway.cli.commands.completion_command",
)
"""Where the subcommands are loaded from when they are asked for, in the order of the help page."""

COMMANDS = {
    module.rpartition(".")[2].removesuffix("_command").replace("_", "-"): module for module in MODULES
}
"""The module of each subcommand by its name."""


class Subcommands(click.Group):
    """Loads a subcommand only when it is used: starting up is a good part of a short answer."""

    def list_commands(self, _context: click.Context) -> list[str]:
        """Names in the order of the help page."""
        return list(COMMANDS)

    def get_command(self, _context: click.Context, name: str) -> click.Command | None:
        """The subcommand, or None where there is no such name."""
        if name not in COMMANDS:
            return None
        command: click.Command = getattr(import_module(COMMANDS[name]), name.replace("-", "_"))
        return command

    def resolve_command(
        self, context: click.Context, words: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The subcommand of the words; UsageError with the name near it where there is none."""
        name = words[0]
        if name not in COMMANDS and not name.startswith("-"):
            from difflib import get_close_matches

            if near := get_close_matches(name, COMMANDS, n=1):
                context.fail(f"No such command {name!r} (did you mean {near[0]}?)")
        return super().resolve_command(context, words)


@click.group(
    cls=Subcommands,
    epilog=EPILOG,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(package_name="gripway")
def gripway() -> None:
    """Find the least awkward sequence of flute fingerings (grips) for a written passage."""


def run_and_flush() -> int:
    """Run the command in a process that ends with it; the exit code, once everything is written.

    The process is to end without taking its memory apart piece by piece, which would cost a tenth
    of a short answer. For the same reason nobody looks for garbage meanwhile.
    """
    gc.disable()
    open_streams()
    code = run()
    try:
        sys.stdout.flush()
    except OSError as problem:
        drop_stdout()
        if code == 0 and not isinstance(problem, BrokenPipeError):
            say_error("request", f"cannot be written: {problem.strerror}", place="standard output")
            code = REFUSED
    sys.stderr.flush()
    return code


def main() -> None:
    """Run the command; SystemExit carries the exit code."""
    sys.exit(run())


REFUSED, FAULT, STOPPED = 2, 70, 130


def run() -> int:
    """Run the command; every error becomes one message and an exit code, never a traceback.

    A fault of our own has a code of its own: 0, 1 and 2 always are answers.
    """
    try:
        return int(gripway.main(standalone_mode=False) or 0)
    except GripwayError as problem:
        say_error("request", problem.what, in_options(problem.next_step), place_of(problem))
    except (click.exceptions.Abort, KeyboardInterrupt):
        say_error("stopped", "stopped")
        return STOPPED
    except click.ClickException as problem:
        asked = getattr(problem, "ctx", None)
        said = "\n".join(map(shortened, problem.format_message().rstrip(".").split("\n")))
        say_error("usage", said, f"See {asked.command_path if asked else 'gripway'} --help")
    except SystemExit:  # click's own way out where the reader of a help page has gone
        drop_stdout()
        return 0
    except OSError as problem:  # without a name it is a help page that cannot be written
        place = shortened(str(problem.filename or "standard output"))
        say_error("request", str(problem.strerror), "Check that name", place)
    except MemoryError:
        what = "there is not enough memory for a part as long as this"
        say_error("request", what, "Ask for some --bars of it")
    except Exception as problem:
        what = f"a fault in gripway: {type(problem).__name__}: {shortened(str(problem))}"
        say_error("fault", what, REPORT, _place_of(problem))
        return FAULT
    return REFUSED


REPORT = "Report it with what you asked for, and the score if you may share it"


def _place_of(problem: Exception) -> str:
    """File and line of our own code in which a fault showed itself."""
    steps = [
        step for step in extract_tb(problem.__traceback__) if f"{os.sep}gripway{os.sep}" in step.filename
    ]
    last = steps[-1] if steps else None
    return f"{last.filename.rpartition(f'{os.sep}gripway{os.sep}')[2]}:{last.lineno}" if last else "gripway"
