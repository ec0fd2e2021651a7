"""Practice logs that were damaged or edited: odd lines are passed over, and no later run is blocked."""

import json
from pathlib import Path
from typing import Any

import pytest
from tests.cli.run_gripway import ask
from tests.tiers import thinned

LINE = "(A5 B5 C#6 D6 E6 F#6 G#6 A6 G#6 F#6 E6 D6)"
BEGIN = ("practise", "--notes", LINE, "--tempo", "200", "--minutes", "8", "--days", "2")


@pytest.fixture
def log(tmp_path: Path) -> Path:
    """A log that was begun."""
    path = tmp_path / "my.log"
    assert ask(*BEGIN, "--log", path).code == 0
    return path


def entry(log: Path, **more: Any) -> str:
    """A line of a log, odd or not."""
    return json.dumps({"log": "gripway practice log", "when": "2026-03-01T10:00:00", **more}) + "\n"


def asked(log: Path, **more: Any) -> dict[str, Any]:
    """What the first line of a log asks for, with other values."""
    return json.loads(log.read_text().splitlines()[0])["asked"] | more  # type: ignore[no-any-return]


REACHED = {"kind": "reached", "cell": "a", "notes": "D6 E6", "target": 120}
ODD_LINES: dict[str, dict[str, Any]] = {
    "no number": REACHED | {"quarters": "60"},
    "too fast": REACHED | {"quarters": 10**30},
    "yes": REACHED | {"quarters": True},
    "no day": REACHED | {"quarters": 60, "when": 5},
    "no date": REACHED | {"quarters": 60, "when": "yesterday"},
    "met a list": {"kind": "day", "met": [1]},
    "met too often": {"kind": "day", "met": {"D6 E6": 10**9}},
    "asked a list": {"kind": "plan", "asked": [], "passage": "x"},
}
ODD_WISHES: dict[str, Any] = {
    "minutes": "abc",
    "days": 10**20,
    "tempo": 1e300,
    "unit": "1/0",
    "order": "backwards",
    "pins": [["3"]],
    "bans": ["everything"],
    "dials": ["speed=fast"],
    "notes": 5,
    "most": 2.5,
    "score": {"a": 1},
}


@pytest.mark.parametrize("case", thinned(ODD_LINES, 4))
def test_an_odd_line_is_told_and_passed_over(log: Path, case: str) -> None:
    """Its number is said; the answer is the one without it, run after run."""
    plain = ask("practise", "--log", log).out
    lines = len(log.read_text().splitlines())
    with log.open("a") as stream:
        stream.write(entry(log, **ODD_LINES[case]))
    for _ in range(2):
        answer = ask("practise", "--log", log)
        assert (answer.code, answer.out) == (0, plain)
        assert f"{log}: line {lines + 1} is odd and is passed over" in answer.err


@pytest.mark.parametrize("name", thinned(ODD_WISHES, 4))
def test_a_remembered_request_with_an_odd_value_is_passed_over(log: Path, name: str) -> None:
    """What could not have been typed is not asked for again: the request before it counts."""
    plain = ask("practise", "--log", log).out
    wishes = asked(log, **{name: ODD_WISHES[name]})
    with log.open("a") as stream:
        stream.write(entry(log, kind="plan", passage="x", asked=wishes))
    answer = ask("practise", "--log", log)
    assert (answer.code, answer.out) == (0, plain)
    assert "is odd and is passed over" in answer.err


@pytest.mark.parametrize(
    "line", ['{"quarters": Infinity}', '{"quarters": NaN}', '{"quarters": ' + "9" * 5000 + "}", "[" * 100_000]
)
def test_a_line_that_is_no_json_is_passed_over(log: Path, line: str) -> None:
    """Infinity and NaN are no JSON (RFC 8259), 5,000 digits no number, 100,000 brackets nothing."""
    plain = ask("practise", "--log", log).out
    with log.open("a") as stream:
        stream.write(line + "\n")
    assert ask("practise", "--log", log).out == plain


def test_a_log_without_a_usable_request_says_what_to_do(log: Path) -> None:
    """Its only request is odd: exit 2 with the log's name, and it can be begun again."""
    log.write_text(entry(log, kind="plan", passage="", asked=asked(log, minutes="abc")))
    answer = ask("practise", "--log", log)
    assert (answer.code, answer.data) == (2, b"")
    assert f"--log {log}: this log has no passage yet. Begin it with a SCORE or --notes" in answer.err
    assert ask(*BEGIN, "--log", log).code == 0
    assert ask("practise", "--log", log).code == 0


def test_a_log_without_end_and_one_that_is_no_file_are_refused(tmp_path: Path) -> None:
    """A device is no log."""
    answer = ask(*BEGIN, "--log", "/dev/zero")
    assert (answer.code, "/dev/zero: is a device" in answer.err) == (2, True)
    long = tmp_path / "long.log"
    long.write_bytes(b'{"log": "gripway practice log"}\n' * 600_000)
    answer = ask(*BEGIN, "--log", long)
    assert (answer.code, "longer than 16384 KiB" in answer.err) == (2, True)


@pytest.mark.parametrize("text", ["1=" + "9" * 5000, "9" * 5000 + "=96", "\u00b2=96", "1=-5"])
def test_a_result_of_endless_digits_is_refused(log: Path, text: str) -> None:
    """5,000 digits are no tempo and no cell."""
    answer = ask("practise", "--log", log, "--reached", text)
    assert (answer.code, answer.data, "--reached" in answer.err) == (2, b"", True)
    assert len(answer.err) < 3000
