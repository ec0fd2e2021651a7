"""The command `gripway`: its subcommands, its errors, its exit codes.

Exit 0: done. 1: done with gaps (some note has no grip). 2: the request cannot be carried out.
"""

import sys

import click

from gripway.cli.completion_command import completion
from gripway.cli.finger_command import finger
from gripway.cli.grips_command import grips
from gripway.errors import GripwayError

EPILOG = """
\b
Examples:
  gripway finger examples/rooftop_study.musicxml
  gripway finger --notes "E6 F#6 G#6 A6 | G#6 F#6 E6:1/4" --tempo 120
  gripway grips F#6

Playing can hurt: stop on pain, numbness or tingling, rest often, protect your hearing, and ask
your teacher or a clinician. gripway gives no medical advice.
"""


@click.group(
    epilog=EPILOG, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100}
)
@click.version_option(package_name="gripway")
def gripway() -> None:
    """Find the least awkward sequence of flute fingerings (grips) for a written passage."""


gripway.add_command(finger)
gripway.add_command(grips)
gripway.add_command(completion)


def main() -> None:
    """Run the command; errors of ours become one message and exit code 2, never a traceback."""
    try:
        code = gripway.main(standalone_mode=False)
    except GripwayError as problem:
        click.echo(f"gripway: {problem}", err=True)
        code = 2
    except click.exceptions.Abort:
        click.echo("gripway: stopped", err=True)
        code = 2
    except click.ClickException as problem:
        problem.show()
        code = 2
    except BrokenPipeError:  # the reader of our output has gone: nothing more to say
        sys.stderr.close()
        code = 0
    sys.exit(code)
