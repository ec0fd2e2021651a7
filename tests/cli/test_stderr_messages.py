"""What is said beside an answer: nothing with --quiet, everything with --verbose."""

from pathlib import Path

import pytest
from tests.cli.run_gripway import ask
from tests.cli.tiny_scores import note, part, score

MANY = score(part(*[note("C6") + note("E6", before="<chord/>") for _ in range(20)]))
"""A chord in each of twenty bars: a remark for each, and one on the tempo."""


def test_the_first_remarks_all_or_none_are_said() -> None:
    """Twelve and how many more; with --verbose every one; with --quiet none, and the answer is the same."""
    words = ("finger", "-", "--format", "json")
    plain, quiet, verbose = (ask(*words, *more, stdin=MANY) for more in ((), ("-q",), ("--verbose",)))
    assert plain.data == quiet.data == verbose.data
    assert (len(plain.err.splitlines()), plain.err.splitlines()[-1]) == (
        13,
        "remark: and 9 more (--verbose says them)",
    )
    assert len(verbose.err.splitlines()) == 21
    assert quiet.err == ""


@pytest.mark.parametrize(
    "words", [("grips", "H6"), ("finger", "--notes", "E6 X"), ("diagram", "F#6", "-o", ".")]
)
def test_errors_are_said_in_any_case(words: tuple[str, ...]) -> None:
    """A quiet refusal would be a silent one."""
    answer = ask(*words, "--quiet")
    assert (answer.code, answer.err) == (2, ask(*words).err)
    assert answer.err.startswith("gripway: ")


def test_a_short_o_names_the_file(tmp_path: Path) -> None:
    """-o is --out; what was written is told, or not."""
    out = tmp_path / "a.svg"
    assert ask("diagram", "F#6", "-o", out).err == f"wrote {out}\n"
    assert ask("diagram", "F#6", "-qo", out).err == ""
    assert out.read_bytes() == ask("diagram", "F#6").data
