"""Standard streams that are closed, full or left by their reader."""

import subprocess
import sys
from pathlib import Path

import pytest

GRIPWAY = f"{sys.executable} -m gripway"
FINGER = f'{GRIPWAY} finger --notes "E6 F6" --tempo 96'
FULL = pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")


def in_a_shell(line: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """What a shell makes of a line, with its exit code."""
    return subprocess.run(["sh", "-c", line], cwd=folder, capture_output=True, text=True, check=False)


@pytest.mark.parametrize(
    ("line", "code", "said"),
    [
        (f"{FINGER} >&-", 2, "gripway: standard output: cannot be written"),
        (f"{GRIPWAY} --help >&-", 2, "gripway: standard output: "),
        (f"{FINGER} 2>&- >/dev/null", 0, ""),
        (f"{GRIPWAY} finger --notes zz 2>&-", 2, ""),
        (f"{GRIPWAY} finger - <&-", 2, "gripway: standard input: the file is empty"),
        (f"{FINGER} --out answer.txt >&- 2>&- <&-", 0, ""),
        pytest.param(f"{GRIPWAY} --help >/dev/full", 2, "gripway: standard output: ", marks=FULL),
        pytest.param(f"{GRIPWAY} finger --notes zz 2>/dev/full", 2, "", marks=FULL),
        (f"{{ {FINGER} 2>&1 >/dev/null; echo $? >code; }} | true; exit $(cat code)", 0, ""),
        (f"{{ {GRIPWAY} --help; echo $? >code; }} | true; exit $(cat code)", 0, ""),
    ],
)
def test_a_stream_nobody_holds_is_no_traceback(line: str, code: int, said: str, tmp_path: Path) -> None:
    """A lost answer is exit 2, lost talk is none of the command's business, a reader gone is no error."""
    done = in_a_shell(line, tmp_path)
    assert (done.returncode, "Traceback" in done.stderr, "Exception" in done.stderr) == (code, False, False)
    assert done.stderr.startswith(said)
    if not said:
        assert done.stderr == ""


def test_no_file_is_opened_in_the_place_of_a_closed_stream(tmp_path: Path) -> None:
    """With every stream closed the answer alone is in its file: what is said does not get into it."""
    in_a_shell(f"{FINGER} --format json --out answer.json >&- 2>&- <&-", tmp_path)
    text = (tmp_path / "answer.json").read_text()
    assert text.startswith("{")
    assert text.endswith("}\n")
    assert "wrote" not in text
