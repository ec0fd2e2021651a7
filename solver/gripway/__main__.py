"""`python -m gripway`, and the command itself: nothing is loaded before an interruption is understood."""

import os

STOPPED = 130
"""Exit code of a command stopped by the keyboard, as shells count it (128 + SIGINT)."""


def launch() -> None:
    """Run the command as a process of its own, and end the process with its exit code."""
    try:
        from gripway.cli.app import run_and_flush

        code = run_and_flush()
    except KeyboardInterrupt:  # while loading, or while ending
        code = STOPPED
    os._exit(code)


if __name__ == "__main__":
    launch()
