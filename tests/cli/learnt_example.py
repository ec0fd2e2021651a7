"""What `gripway taste` learns from the example, worked out once for all tests that look at it."""

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.cli.run_gripway import Answer, ask
from tests.in_process import as_shown
from tests.learnt_once import learnt_once

EXAMPLE = "examples/windmill_rounds.musicxml"
"""As the manual has it."""

BEFORE = "[dials]\nsteadiness = 1  # not yet\n"
"""The player's file that it is written into."""


@cache
def learnt_example() -> tuple[Answer, str]:
    """The answer in JSON, and the player's file after it."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "me.toml"
        path.write_text(BEFORE, encoding="utf-8")
        with as_shown(), learnt_once():
            answer = ask("taste", EXAMPLE, "--player", path, "--write", "--format", "json")
        return answer, path.read_text(encoding="utf-8")
