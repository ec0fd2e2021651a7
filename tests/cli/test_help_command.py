"""`gripway help`: the topics of the manual and their texts."""

import re
from pathlib import Path

import pytest
from tests.cli.run_gripway import ask, on_a_terminal
from tests.cli.test_completion_command import completions
from tests.every import every

from gripway.catalog.manual import topics
from gripway.cli.app import COMMANDS
from gripway.cli.text.manual_text import manual_text

MANUAL = Path(__file__).resolve().parents[2] / "examples" / "manual"
NAMES = sorted(path.stem for path in MANUAL.glob("*.md"))


def test_every_topic_is_listed_on_a_line_with_an_example() -> None:
    """A line a file of the manual: its name, its title, its command to try."""
    answer = ask("help")
    assert (answer.code, answer.err) == (0, "")
    lines = answer.out.split("\n\n", 1)[1].splitlines()
    assert [line.split()[0] for line in lines] == NAMES
    for name, line in zip(NAMES, lines, strict=True):
        title, _, example = (MANUAL / f"{name}.md").read_text(encoding="utf-8").splitlines()[:3]
        assert title.removeprefix("# ") in line
        assert line.endswith("  " + example.removeprefix("Try: `").removesuffix("`"))


@every(NAMES)
def test_the_whole_text_of_a_topic_is_printed(name: str) -> None:
    """Every word of the file is in the answer in its order, but for what only Markdown needs."""
    answer = ask("help", name)
    assert (answer.code, answer.err) == (0, "")

    def words(text: str) -> list[str]:
        return re.findall(r"[^\W_]+", text)

    text = (MANUAL / f"{name}.md").read_text(encoding="utf-8")
    text = re.sub(r"<!--.*?-->|^```\w*$|\]\([^)]*\)", "", text, flags=re.MULTILINE | re.DOTALL)
    text = re.sub(r"^\|.*\n(?=\| ---)", "", text, flags=re.MULTILINE)
    printed = iter(words(answer.out))
    missing = [word for word in words(text) if word not in printed]
    assert missing == []


@every(NAMES)
def test_paragraphs_fit_the_terminal(name: str) -> None:
    """Of what is no block of code or output no line is longer than 100 columns."""
    lines = [line for line in ask("help", name).out.splitlines() if not line.startswith("    ")]
    assert [line for line in lines if len(line) > 100 and not line.startswith(("Try: ", "  `"))] == []


def test_a_narrow_terminal_gets_narrow_paragraphs() -> None:
    """On 70 columns prose is broken at 70."""
    answer = on_a_terminal("help", "cautions", columns=70)
    lines = [line for line in answer.out.splitlines() if not line.startswith(("    ", "Try: "))]
    assert 60 < max(map(len, lines)) <= 70


@every(COMMANDS)
def test_the_name_of_a_command_leads_to_the_topic_that_describes_it(command: str) -> None:
    """`gripway help COMMAND` prints a text with the command's own heading."""
    answer = ask("help", command)
    assert answer.code == 0
    assert re.search(rf"^#+ .*`gripway {command}\b", answer.out, re.MULTILINE)


@pytest.mark.parametrize("written", ["house_style", "house-style", "House Style", " house_style "])
def test_a_name_may_be_written_in_several_ways(written: str) -> None:
    """Upper case, blanks and hyphens do not matter."""
    assert ask("help", written).out == ask("help", "house_style").out


@pytest.mark.parametrize(
    ("typed", "near"), [("limts", "limits"), ("fingering", "finger"), ("practice", "practise")]
)
def test_an_unknown_topic_is_refused_with_the_names_near_it(typed: str, near: str) -> None:
    """Exit 2, nothing on standard output, one message with what was meant and what to do."""
    answer = ask("help", typed)
    assert (answer.code, answer.data) == (2, b"")
    assert f"no topic {typed!r}" in answer.err
    assert near in answer.err.partition("Did you mean ")[2].partition("?")[0].split(", ")
    assert "gripway help lists" in answer.err


def test_a_topic_like_no_other_is_refused_without_a_guess() -> None:
    """Where no name is near the message only says where the topics are."""
    answer = ask("help", "zzzz")
    assert (answer.code, answer.data, "Did you mean" in answer.err) == (2, b"", False)
    assert "gripway help lists" in answer.err


def test_topics_are_completed() -> None:
    """A shell offers the topics that begin with what is typed."""
    assert completions("gripway help pra") == ["practice_sheet", "practise"]


def test_the_texts_are_those_of_the_folder() -> None:
    """In a checkout the manual is read from examples/manual, byte for byte."""
    assert {name: topic.text for name, topic in topics().items()} == {
        name: (MANUAL / f"{name}.md").read_text(encoding="utf-8") for name in NAMES
    }


def test_a_text_is_shown_as_a_terminal_needs_it() -> None:
    """Paragraphs flow, tables become lists, links name their topic, code is moved in, comments go."""
    shown = manual_text(
        "# Head\n\nOne [two](limits.md)\nand **three** [four](../player.toml).\n\n"
        "| a | b | c |\n| --- | --- | --- |\n| `x \\| y` | why | when |\n\n"
        "- item one\n  goes on\n- item two\n\n<!-- not run: no -->\n```sh\na  b\n\n  c\n```\n"
    )
    assert shown == (
        "# Head\n\nOne two (gripway help limits) and three four.\n\n"
        "  `x | y`\n      why; c: when\n\n- item one goes on\n- item two\n\n    a  b\n\n      c\n"
    )
