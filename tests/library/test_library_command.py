"""`gripway library` as users meet it: what it says, its exit codes, its progress, what it loads."""

import subprocess
import sys
from pathlib import Path

import pytest
from tests.cli.run_gripway import ask, on_a_terminal
from tests.library.small_library import put, small_library
from tests.test_floors import HEAVY

from gripway.cli.progress import pace_words
from gripway.library.run import RunProgress


def test_the_answer_begins_with_what_to_do(tmp_path: Path) -> None:
    """One sentence, then the figures, then where to look; progress on standard error."""
    scores = small_library(tmp_path / "scores")
    answer = ask("library", scores, "--out", tmp_path / "out", "--jobs", 1)
    first, *rest = answer.out.splitlines()
    assert (answer.code, first.endswith(".")) == (0, True)
    assert any(line.startswith("4 scores, 4 parts, ") for line in rest)
    assert "4 of 4 scores" in answer.err
    quiet = ask("library", scores, "--out", tmp_path / "out", "--jobs", 1, "--quiet", "--format", "json")
    assert quiet.err == ""
    assert quiet.json["sentence"] == first
    assert (quiet.json["scores"], quiet.json["errors"]) == (4, 0)


@pytest.mark.parametrize("notes", [None, "C8 D8 F#7"])
def test_what_is_missing_is_exit_1(tmp_path: Path, notes: str | None) -> None:
    """A score that cannot be read, or a note without a grip; the rest is done."""
    scores = small_library(tmp_path / "scores")
    if notes:
        put(scores / "high.musicxml", notes, 100)
    else:
        (scores / "broken.xml").write_bytes(b"<score")
    answer = ask("library", scores, "--out", tmp_path / "out", "--jobs", 1)
    assert answer.code == 1
    assert ("have no grip" if notes else "errors.csv says why") in answer.out


def test_progress_on_a_terminal_says_rate_and_time_left(tmp_path: Path) -> None:
    """A bar that goes away, and the answer after it."""
    scores = small_library(tmp_path / "scores")
    shown = on_a_terminal("library", scores, "--out", tmp_path / "out", "--jobs", 1).out
    assert "notes a second" in shown
    assert "4 scores, 4 parts" in shown


@pytest.mark.parametrize(
    ("step", "seconds", "words"),
    [
        (RunProgress(3, 10, 0, 0), 5.0, "3 of 10 scores"),
        (RunProgress(5, 10, 2, 900), 30.0, "5 of 10 scores, 30 notes a second, 1 min 15 s left"),
        (RunProgress(1, 2000, 1, 10), 10.0, "1 of 2000 scores, 1 notes a second, 5 h 33 min left"),
    ],
)
def test_the_rate_is_that_of_this_run(step: RunProgress, seconds: float, words: str) -> None:
    """Scores that were done before count as done and not into the rate."""
    assert pace_words(step, seconds) == words


def test_only_what_is_asked_for_is_loaded(tmp_path: Path) -> None:
    """No pandas, no pyarrow, no Dask without the options that need them."""
    scores = small_library(tmp_path / "scores")
    script = (
        "import sys\nfrom gripway.cli.app import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        f"print(*[name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)\n"
    )
    words = ["library", scores, "--out", tmp_path / "out", "--jobs", "1"]
    ran = subprocess.run([sys.executable, "-c", script, *words], capture_output=True, check=True)
    loaded = set(ran.stderr.decode().splitlines()[-1].split())
    assert not loaded & {"pandas", "pyarrow", "distributed", "verovio", "rich", "music21"}
