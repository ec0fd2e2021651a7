"""Practice logs that were damaged or edited: odd lines are refused, told by number, and left alone."""

import json
from pathlib import Path
from typing import Any

import pytest
from tests.cli.run_gripway import ask
from tests.tiers import thinned

NEWLINE = b"\n"
LINE = "(A5 B5 C#6 D6 E6 F#6 G#6 A6 G#6 F#6 E6 D6)"
BEGIN = ("practise", "--notes", LINE, "--tempo", "200", "--minutes", "8", "--days", "2")


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """What is in a log that was begun."""
    path = tmp_path_factory.mktemp("begun") / "my.log"
    assert ask(*BEGIN, "--log", path).code == 0
    return path.read_bytes()


@pytest.fixture
def log(tmp_path: Path, begun: bytes) -> Path:
    """A log that was begun."""
    path = tmp_path / "my.log"
    path.write_bytes(begun)
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
    "articulation": "loud",
    "pins": [["3"]],
    "bans": ["everything"],
    "dials": ["speed=fast"],
    "notes": 5,
    "most": 2.5,
    "score": {"a": 1},
    "player_file": "x\0y",
    "choose": None,
    "parts": None,
    "wanted_parts": None,
}


def refused(log: Path, line: str, *words: str) -> str:
    """What is said of a log with one more line, which is to be refused by its number and left alone."""
    good = log.read_bytes()
    log.write_bytes(good + line.encode())
    answer = ask("practise", "--log", log, *words)
    assert (answer.code, answer.data) == (2, b"")
    assert answer.err.startswith(f"gripway: {log}: line {good.count(NEWLINE) + 1}: ")
    assert answer.err.endswith("Mend that line or take it out; the log was left alone\n")
    assert log.read_bytes() == good + line.encode()
    return answer.err


def test_a_log_goes_on_once_an_odd_line_is_out(log: Path) -> None:
    """The plan is then what it was."""
    good, plain = log.read_bytes(), ask("practise", "--log", log).out
    refused(log, entry(log, **ODD_LINES["no day"]))
    log.write_bytes(good)
    assert ask("practise", "--log", log).out == plain


@pytest.mark.parametrize("case", thinned(ODD_LINES, 4))
def test_an_odd_line_is_refused_by_its_number(log: Path, case: str) -> None:
    """Nothing is guessed: neither the plan nor the log goes on until the line is mended or out."""
    assert ODD_LINES[case]["kind"] in refused(log, entry(log, **ODD_LINES[case]), "--reached", "1=60")


@pytest.mark.parametrize("name", thinned(ODD_WISHES, 4))
def test_a_remembered_request_with_an_odd_value_is_refused(log: Path, name: str) -> None:
    """What could not have been typed is not asked for again; the option is named."""
    wishes = asked(log, **{name: ODD_WISHES[name]})
    said = refused(log, entry(log, kind="plan", passage="x", asked=wishes))
    named = {
        "most": "--cells",
        "score": "SCORE",
        "player_file": "--player",
        "parts": "--with",
        "wanted_parts": "--part",
    }
    assert named.get(name, name.rstrip("s")) in said


def test_a_remembered_tempo_of_many_digits_is_refused(log: Path) -> None:
    """No float holds it."""
    line = entry(log, kind="plan", passage="x", asked=asked(log, tempo=10**400))
    assert "tempo" in refused(log, line)


def test_a_log_that_lacks_what_was_asked_for_has_the_defaults(log: Path) -> None:
    """A line without `minutes` or `most` asks for what the command takes without them."""
    lines = log.read_text().splitlines()
    first = json.loads(lines[0])
    for name in ("most", "unit", "dials"):
        del first["asked"][name]
    log.write_text(json.dumps(first) + "\n")
    assert ask("practise", "--log", log).code == 0


HEAD = '{"log": "gripway practice log", '


@pytest.mark.parametrize(
    "line",
    [
        HEAD + '"quarters": Infinity}',
        HEAD + '"quarters": NaN}',
        HEAD + '"quarters": ' + "9" * 5000 + "}",
        HEAD + '"met": ' + "[" * 100_000 + "}",
        '{"quarters": 60}',
        "tired today",
    ],
    ids=["infinity", "nan", "digits", "deep", "another", "text"],
)
def test_a_line_that_no_log_has_is_refused(log: Path, line: str) -> None:
    """Infinity and NaN are no JSON (RFC 8259), 5,000 digits no number, 100,000 brackets nothing."""
    refused(log, line + "\n")


def test_what_a_lost_write_leaves_is_passed_over(log: Path) -> None:
    """Half a line, or one of NUL bytes as some file systems leave after a power cut: told, and gone on."""
    plain = ask("practise", "--log", log).out
    for rest in (HEAD + '"kind": "rea', "\0" * 300):
        with log.open("a") as stream:
            stream.write(rest + "\n")
        answer = ask("practise", "--log", log)
        assert (answer.code, answer.out) == (0, plain)
        assert "is not whole and is passed over" in answer.err


def test_a_log_without_a_request_says_what_to_do(log: Path) -> None:
    """It has only what is of no kind we know: exit 2 with the log's name, and it can be begun again."""
    log.write_text(entry(log, kind="note"))
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


def test_grips_said_to_be_mastered_are_known_from_then_on(tmp_path: Path) -> None:
    """They go into the player's file, by cell; the plan no longer teaches them; a second time is refused."""
    log, mine = tmp_path / "my.log", tmp_path / "me.toml"
    mine.write_text("# mine\n")
    begin = ("practise", "--notes", "(A6 B6 C7 B6 A6 B6)", "--tempo", "200", "--player", mine, "--log", log)
    assert "Learn the grip" in ask(*begin).out
    answer = ask("practise", "--log", log, "--mastered", "1")
    assert answer.code == 0
    assert f"known now, in {mine}: B6 T 1 3 |" in answer.err
    assert mine.read_text().startswith("# mine\n")
    assert '[known]\ngrips = ["B6: ' in mine.read_text()
    assert "Learn the grip" not in answer.out
    assert "You know these grips" in answer.out
    again = ask("practise", "--log", log, "--mastered", "1")
    assert (again.code, "has no grip to learn" in again.err) == (2, True)


@pytest.mark.parametrize(
    ("words", "said"), [((), "no player file"), (("--player", "me"), "no grip to learn")]
)
def test_nothing_mastered_is_refused(tmp_path: Path, words: tuple[str, ...], said: str) -> None:
    """Without a file of the player's, or for a cell of standard grips: exit 2, nothing written."""
    mine = tmp_path / "me.toml"
    mine.write_text("")
    given = tuple(str(mine) if word == "me" else word for word in words)
    plain = ("--notes", "(C6 D6 C6 B5 A5 B5 C6 D6)", "--tempo", "200", "--minutes", "8", "--days", "2")
    answer = ask("practise", *plain, *given, "--mastered", "1")
    assert (answer.code, said in answer.err) == (2, True)
    assert mine.read_text() == ""


def test_a_plateau_shortens_the_goal_with_a_word(log: Path) -> None:
    """Four days at the same tempo: a nearer goal in text, data and on the sheet, and the days go on."""
    first = json.loads(ask("practise", "--log", log, "--format", "json").out)
    notes = " ".join(first["cells"][0]["notes"])
    tempo, part = first["cells"][0]["ladder"]["steps"][3], first["cells"][0]["ladder"]["part"]
    for day in range(1, 5):
        line = entry(log, kind="reached", cell="a", notes=notes, quarters=tempo, target=part)
        log.write_text(log.read_text() + line.replace("-01T", f"-0{day}T"))
    ladder = json.loads(ask("practise", "--log", log, "--format", "json").out)["cells"][0]["ladder"]
    assert ladder["to"] == first["cells"][0]["ladder"]["steps"][5] < ladder["part"] == part
    for form in ("text", "html"):
        words = " ".join(ask("practise", "--log", log, "--format", form).out.split())
        assert f"the goal is now {ladder['to']} instead of {part}" in words
