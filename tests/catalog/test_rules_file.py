"""A player's rules: what a file may say, and what each slip is answered with."""

from pathlib import Path

import pytest
from tests.oracles.flutes import number

from gripway.catalog.own_files.rules_file import read_rules
from gripway.errors import RulesFileError
from gripway.model.grip import Grip
from gripway.model.rule import Holds, Rule, Span, When


def written(folder: Path, text: str) -> Path:
    """A rules file of this text."""
    path = folder / "own.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_every_key_is_read(tmp_path: Path) -> None:
    """A rule with all its conditions, and one without any."""
    text = """
    [[rule]]
    when = { pitch = "F#6", after = "E6", before = "G#6", notes = "F#6 G#6", dynamic = ["f", "ff"],
             bars = "12-20", faster_than_ms = 150, slurred = true }
    forbid = "R2"

    [[rule]]
    prefer = ["T L1 L3 | R3 Eb", "R1 Eb"]
    """.replace(",\n             bars", ", bars")
    first, second = read_rules(written(tmp_path, text))
    assert first == Rule(
        "own.toml: rule 1",
        When(
            pitch=number("F#6"),
            after=number("E6"),
            before=number("G#6"),
            run=(number("F#6"), number("G#6")),
            dynamics=frozenset({"f", "ff"}),
            span=Span(True, "12", "20"),
            faster_than_ms=150.0,
            slurred=True,
        ),
        "forbid",
        (Holds(Grip.parse("R2"), whole=False),),
    )
    assert second.action == "prefer"
    assert [holds.whole for holds in second.holds] == [True, False]
    assert first.words == "forbid R2 (own.toml: rule 1)"


@pytest.mark.parametrize(
    ("action", "touches", "grip", "kept"),
    [
        ("forbid", "R2 R3", "T L1 | R3 Eb", False),
        ("forbid", "R2 R3", "T L1 | Eb", True),
        ("require", "R2 R3", "T L1 | R3 Eb", False),
        ("require", "R2 R3", "T L1 | R2 R3 Eb", True),
        ("forbid", "T L1 | Eb", "T L1 | R3 Eb", True),
        ("require", "T L1 | Eb", "T L1 | R3 Eb", False),
        ("prefer", "T L1 | Eb", "T L1 | Eb", True),
    ],
)
def test_what_a_rule_says_of_a_grip(action: str, touches: str, grip: str, kept: bool) -> None:
    """None of forbidden touches, all of required ones; with a bar the whole grip is meant."""
    rule = Rule("own.toml: rule 1", When(), action, (Holds(Grip.parse(touches), "|" in touches),))
    assert rule.kept_by(Grip.parse(grip)) is kept


SLIPS = {
    "": "has no rules",
    "rule = 3": "has no rules",
    "[[rules]]\nforbid = 'R2'": "rules: no such table",
    "[[rule]]\nforbid = 'R2'\nmust = 1": "rule 1: must: no such key",
    "[[rule]]\nwhen = { pitch = 'F#6' }": "rule 1: nothing is asked for",
    "[[rule]]\nforbid = 'R2'\nrequire = 'R3'": "forbid and require is asked for",
    "[[rule]]\nwhen = 'F#6'\nforbid = 'R2'": "rule 1: when: not a table",
    "[[rule]]\nwhen = { note = 'F#6' }\nforbid = 'R2'": "when.note: no such key",
    "[[rule]]\nwhen = { pitch = 'H6' }\nforbid = 'R2'": "rule 1: when.pitch",
    "[[rule]]\nwhen = { pitch = 6 }\nforbid = 'R2'": "is not a text",
    "[[rule]]\nwhen = { dynamic = 'loud' }\nforbid = 'R2'": "'loud' is no dynamic",
    "[[rule]]\nwhen = { bars = '12-' }\nforbid = 'R2'": "no span of bars",
    "[[rule]]\nwhen = { faster_than_ms = -1 }\nforbid = 'R2'": "no length of a note",
    "[[rule]]\nwhen = { faster_than_ms = true }\nforbid = 'R2'": "is not a number",
    "[[rule]]\nwhen = { slurred = 1 }\nforbid = 'R2'": "neither true nor false",
    "[[rule]]\nforbid = 'R9'": "rule 1: forbid: 'R9' is not a touch",
    "[[rule]]\nforbid = []": "the list is empty",
    "[[rule]]\nforbid = '|'": "names no touch",
    "[[rule]]\nforbid = 'R2'\n[[rule]]\nforbid = 7": "rule 2: forbid: 7 is not a text",
    "[[rule]]\nforbid = ''": "rule 1: forbid: the text is empty",
    "[[rule]]\nforbid = ['R2', ' ']": "rule 1: forbid: the text is empty",
    "[[rule": "line 1: is no TOML",
    "[[rule]]\nforbid = 'R2'\n[[rule]]\nforbid = 'R3\n": "line 4 (rule 2): is no TOML",
    "[[rule]]\nforbid = ['R2',\n": "line 2 (rule 1): is no TOML",
}


@pytest.mark.parametrize("text", SLIPS)
def test_each_slip_names_file_rule_and_key(tmp_path: Path, text: str) -> None:
    """The message has the file, the rule's number, the key, and what to do."""
    path = written(tmp_path, text)
    with pytest.raises(RulesFileError) as caught:
        read_rules(path)
    assert SLIPS[text] in str(caught.value)
    assert str(path) in caught.value.place
    assert caught.value.next_step


def test_a_file_that_is_not_there_is_said_so(tmp_path: Path) -> None:
    """No traceback for a wrong name."""
    with pytest.raises(RulesFileError, match="cannot be read"):
        read_rules(tmp_path / "none.toml")


def test_a_file_in_another_code_is_said_so(tmp_path: Path) -> None:
    """Bytes that are no UTF-8 are told as that."""
    path = tmp_path / "own.toml"
    path.write_bytes(b"\xff\xfe[[rule]]")
    with pytest.raises(RulesFileError, match="no UTF-8"):
        read_rules(path)
