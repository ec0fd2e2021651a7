"""`gripway completion`: scripts that shells take, and completions that work."""

import os
import shutil
import subprocess
import sys

import pytest
from tests.cli.run_gripway import ask

SHELLS = ("bash", "zsh", "fish")


@pytest.mark.parametrize("shell", SHELLS)
def test_a_script_is_printed_for_each_shell(shell: str) -> None:
    """The script speaks of the command and its variable."""
    answer = ask("completion", shell)
    assert (answer.code, answer.err) == (0, "")
    assert f"_GRIPWAY_COMPLETE={shell}_complete" in answer.out


@pytest.mark.parametrize("shell", SHELLS)
def test_the_shell_itself_takes_the_script(shell: str) -> None:
    """Where the shell is installed it reads the script without a syntax error (`-n`)."""
    if shutil.which(shell) is None:
        pytest.skip(f"no {shell} here")
    ran = subprocess.run([shell, "-n"], input=ask("completion", shell).data, capture_output=True, check=False)
    assert (ran.returncode, ran.stderr) == (0, b"")


def completions(typed: str) -> list[str]:
    """What bash would be offered for the last word of a line."""
    words = typed.split(" ")
    environment = os.environ | {
        "_GRIPWAY_COMPLETE": "bash_complete",
        "COMP_WORDS": typed,
        "COMP_CWORD": str(len(words) - 1),
    }
    script = "import sys; sys.argv[0] = 'gripway'; from gripway.cli.app import main; main()"
    ran = subprocess.run(
        [sys.executable, "-c", script], env=environment, capture_output=True, text=True, check=True
    )
    return [line.split(",", 1)[1] for line in ran.stdout.splitlines()]


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("gripway fi", {"finger"}),
        ("gripway finger --ba", {"--bars", "--ban"}),
        ("gripway finger --format mu", {"musicxml"}),
        ("gripway finger --mark-as ", {"fingering", "lyric", "words"}),
        ("gripway grips --exp", {"--explain"}),
        ("gripway completion ", set(SHELLS)),
    ],
)
def test_commands_options_and_values_are_completed(typed: str, offered: set[str]) -> None:
    """Names are offered as far as they fit what is typed."""
    assert offered <= set(completions(typed))
