"""The documents tell the truth: what they show is run, what exists is described, what is linked is there."""

import inspect
import re
import tomllib
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

import click
import pytest
from examples.regenerate import DOCUMENTS as RUN
from examples.regenerate import FENCE, MANUAL, NOT_RUN, document
from tests.every import every
from tests.in_process import in_process, run

import gripway
from gripway.catalog.answer_schemas import answer_schema
from gripway.catalog.flute.grip_cells import HOWS
from gripway.catalog.flute.instruments import INSTRUMENT_KEYS, PART_KEYS, instrument_names
from gripway.catalog.own_files.house_style_file import HOUSE_KEYS
from gripway.catalog.own_files.player_file import PlayerFile
from gripway.catalog.own_files.rules_file import WHEN_KEYS
from gripway.catalog.own_files.tuner_list import CENTS_COLUMNS
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.catalog.tables.sources import SOURCE_KEYS
from gripway.cli.app import gripway as command_line
from gripway.edition.consistency import KINDS, Finding
from gripway.effort import change_time, familiarity, hand_support, lean_effort, load
from gripway.model.grip import TOUCHES
from gripway.model.mark_text import BRACKETS, HOLD_WORDS, RELEASE_WORDS, SIMILE_WORDS
from gripway.model.rule import ACTIONS

ROOT = Path(__file__).resolve().parents[1]
KEYS = {table: kind.__struct_fields__ for table, kind in PlayerFile.__annotations__.items()}
DECISIONS = tuple(
    path.relative_to(ROOT).as_posix() for path in sorted((ROOT / "solver" / "decisions").glob("*.md"))
)
DOCUMENTS = (*RUN, "CHANGELOG.md", "tests/bench/README.md", *DECISIONS)
MOST_LINES = {"README.md": 200, "DEVELOPERS.md": 250} | dict.fromkeys(MANUAL, 149)
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
FENCED = re.compile(r"^```.*?^```$", re.MULTILINE | re.DOTALL)
WHOLE_MANUAL = "\n".join((ROOT / name).read_text(encoding="utf-8") for name in MANUAL)
PROSE = FENCED.sub("", README + WHOLE_MANUAL)
CODE_WORDS = frozenset(
    word.strip(",;:()[]{}'\"")
    for code in re.findall(r"`([^`\n]+)`", PROSE)
    for word in code.replace("\\|", "|").split()
)
"""Every word that stands in code signs in the text of the README and of the manual."""


def manual(topic: str) -> str:
    """The text of a topic of the manual."""
    return (ROOT / "examples" / "manual" / f"{topic}.md").read_text(encoding="utf-8")


def section(text: str, title: str) -> str:
    """The part of a document below the heading that begins with `title`, up to the next one of its rank."""
    start = re.search(rf"^(#+) {re.escape(title)}.*$", text, re.MULTILINE)
    assert start, f"there is no section {title}"
    end = re.search(rf"^#{{1,{len(start[1])}}} ", text[start.end() :], re.MULTILINE)
    return text[start.end() :][: end.start() if end else None]


def commands() -> Iterator[tuple[str, click.Command]]:
    """Every command by its name."""
    context = click.Context(command_line)
    for name in command_line.list_commands(context):
        command = command_line.get_command(context, name)
        assert command is not None
        yield name, command


def options_of(command: click.Command) -> set[str]:
    """The long options a command takes."""
    return {
        name
        for option in command.params
        if isinstance(option, click.Option)
        for name in option.opts
        if name.startswith("--")
    }


FOR_ALL = (ROOT / "examples" / "manual" / "commands.md").read_text(encoding="utf-8").partition("\n## ")[0]
"""Where the options stand that commands have in common."""


def described(word: str, text: str) -> bool:
    """Whether a word stands in code signs in a text, alone or with more."""
    return re.search(rf"`[^`\n]*(?<![\w-]){re.escape(word)}(?![\w-])[^`\n]*`", text) is not None


@every(MOST_LINES.items())
def test_a_document_is_short_enough_to_be_read(name: str, most: int) -> None:
    """The README has at most 200 lines, DEVELOPERS.md 250, a topic of the manual fewer than 150."""
    assert len((ROOT / name).read_text(encoding="utf-8").splitlines()) <= most


def blocks() -> Iterator[Any]:
    """Every block of every document that is run, with what it shows."""
    for name in DOCUMENTS:
        text = (ROOT / name).read_text(encoding="utf-8")
        for block in FENCE.finditer(text):
            if not NOT_RUN.search(text[: block.start()]):
                line = text.count("\n", 0, block.start()) + 1
                yield pytest.param(block[0], id=f"{name}:{line}")


@pytest.mark.parametrize("block", [*blocks()])
def test_what_a_block_shows_is_what_is_printed(block: str) -> None:
    """Commands and Python are run in this process; what follows is their output as it is now.

    After a wanted change: examples/regenerate.py.
    """
    with in_process():
        assert block == document(block)


@pytest.mark.whole
@pytest.mark.parametrize("name", DOCUMENTS)
def test_what_a_document_shows_is_what_processes_print(name: str) -> None:
    """The same, every line in a shell as a reader types it."""
    text = (ROOT / name).read_text(encoding="utf-8")
    assert text == document(text)


@every(DOCUMENTS)
def test_a_block_that_is_not_run_says_why(name: str) -> None:
    """Blocks are console or python (run), text (an output), or sh with a reason not to run it."""
    text = (ROOT / name).read_text(encoding="utf-8")
    for block in FENCED.finditer(text):
        kind = block[0].split("\n", 1)[0].removeprefix("```")
        assert kind in ("console", "python", "text", "sh"), block[0]
        if kind == "sh":
            assert re.search(r"<!-- not run: \w[^>]*-->\n\Z", text[: block.start()]), block[0]


def test_the_first_paragraph_says_the_job() -> None:
    """Who it is for, what they give and what they get stand before anything else."""
    paragraph = README.split("\n\n")[1].replace("\n", " ")
    for word in (
        "flutists",
        "play",
        "teach",
        "edit",
        "passage",
        "score",
        "tempo",
        "grip",
        "fingering",
        "cents",
    ):
        assert re.search(rf"\b{word}", paragraph), word


def test_the_two_commands_are_one_line_each() -> None:
    """Set-up with the main job, and set-up with the tests, are one line each, and CI runs the second."""
    blocks = re.findall(r"^```sh\n(.*?)^```", section(README, "Two commands"), re.MULTILINE | re.DOTALL)
    assert [block.count("\n") for block in blocks] == [1, 1]
    assert blocks[0].split()[-2] == "finger"
    assert (ROOT / blocks[0].split()[-1]).is_file()
    assert blocks[1].strip().endswith("-m pytest -n 2")
    check = (ROOT / ".ci" / "check").read_text(encoding="utf-8")
    assert '"$python" -m pytest -n 2' in check, "CI runs the command of the README"


def test_every_command_and_option_is_described() -> None:
    """Each command has its heading in the manual and its options stand below it, or with those of all."""
    for name, command in commands():
        text = section(WHOLE_MANUAL, f"`gripway {name}")
        for option in options_of(command):
            assert described(option, text) or described(option, FOR_ALL), f"{name} {option}"


def test_every_choice_of_an_option_is_described() -> None:
    """Each word an option can take stands in the README or the manual."""
    for name, command in commands():
        for option in command.params:
            if isinstance(option.type, click.Choice):
                for choice in option.type.choices:
                    assert re.search(rf"\b{re.escape(str(choice))}\b", PROSE), (
                        f"{name} {option.name} {choice}"
                    )


def test_no_option_is_described_that_there_is_not() -> None:
    """Every option the README and the manual name belongs to a command."""
    known = {"--version", "--help"}.union(*(options_of(command) for _, command in commands()))
    ours = re.sub(r"`python -m [^`]*`", "", PROSE)
    assert set(re.findall(r"(?<![\w-])--[a-z][a-z-]+", ours)) <= known


def test_instruments_and_their_parts_are_described() -> None:
    """Each flute of the tables and each optional part has its name in the manual."""
    for name in instrument_names():
        assert name in CODE_WORDS
        for part in gripway.flute(name).known_parts:
            assert part in CODE_WORDS, part


def test_every_touch_is_described() -> None:
    """Each id a grip can be written with is in the topic on reading, the plates by their fingers."""
    reading = manual("reading")
    for touch in TOUCHES:
        named = touch if not re.fullmatch("[LR][123]", touch) else touch[0] + "1"
        assert described(named, reading), touch


def test_every_key_of_the_players_file_is_described() -> None:
    """Each key, each dial, and each column of the tuner's list stands in the section on the file."""
    text = manual("player_file")
    keys = [f"{table}.{key}" for table, known in KEYS.items() for key in known]
    assert "dials.speed" in keys
    for key in (*keys, *CENTS_COLUMNS):
        assert described(key, text), key


def test_every_key_of_a_rule_is_described() -> None:
    """Each condition of `when` and each thing a rule can ask for stand in the section on rules."""
    text = section(manual("limits"), "Rules of your own")
    for key in (*WHEN_KEYS, *ACTIONS):
        assert described(key, text), key


def test_the_example_player_has_every_key() -> None:
    """examples/player.toml shows each key that people write; `[measured]` is what own-times writes."""
    data = tomllib.loads((ROOT / "examples" / "player.toml").read_text(encoding="utf-8"))
    assert "measured" not in data
    for table, known in KEYS.items():
        if table == "measured":
            continue
        assert set(data[table]) == set(known)


def test_every_key_and_word_of_a_house_style_is_described() -> None:
    """Each key, and each word a mark may use, stands in the section on it."""
    text = manual("house_style")
    for key in (f"{table}.{key}" for table, keys in HOUSE_KEYS.items() for key in keys):
        assert described(key, text), key
    for word in (*HOLD_WORDS, *RELEASE_WORDS, *SIMILE_WORDS, *BRACKETS):
        assert described(word, text), word


def test_every_column_and_kind_of_the_editors_lists_is_described() -> None:
    """Kinds of findings stand in the section on the report."""
    text = section(manual("consistency"), "The consistency report")
    for kind in (*KINDS, *(field.name for field in fields(Finding))):
        assert described(kind, text), kind


def test_every_dial_is_described_with_what_it_scales() -> None:
    """The row of each dial names the terms that dials.csv lets it scale."""
    text = section(manual("player_file"), "The five dials")
    for name, dial in effort_tables().dials.items():
        (row,) = (line for line in text.splitlines() if line.startswith(f"| `{name}`"))
        assert set(dial.terms) == set(re.findall(r"\w+", row.split("|")[2]))


def test_the_names_of_the_ledger_are_described() -> None:
    """Each term of the ledger is a key of `parts` in the schema of a route."""
    source = inspect.getsource(__import__("gripway.effort.costs", fromlist=["EffortModel"]))
    terms = set(re.findall(r'^ +\("(\w+)", ', source, re.MULTILINE))
    defs = answer_schema("finger")["$defs"]
    assert {"tuning", "load"} <= terms
    assert terms <= {*defs["note"]["properties"]["parts"]["properties"], *defs["change parts"]["properties"]}


def test_every_public_name_is_described() -> None:
    """Each name of `gripway.__all__` stands in the section on Python, and none that is not there."""
    text = manual("python")
    for name in gripway.__all__:
        assert described(f"gripway.{name}", text), name
    named = set(re.findall(r"`gripway\.(\w+)", text))
    assert named <= {*gripway.__all__, "grip_graph"}


def test_the_keys_of_the_tables_are_described() -> None:
    """Keys of the TOML tables and every `how` stand in DEVELOPERS.md; `gripway tables` has the columns."""
    text = section(DEVELOPERS, "Tables")
    for key in (*INSTRUMENT_KEYS, *PART_KEYS, *SOURCE_KEYS):
        assert described(key, text), key
    for how in HOWS:
        assert re.search(rf"^\| {how} \|", text, re.MULTILINE), how
    for led in (README, DEVELOPERS):
        assert "`gripway tables`" in led
        assert "`gripway tables --sources`" in led


TRIED = [name for name in MANUAL if "Try: `gripway serve" not in (ROOT / name).read_text(encoding="utf-8")]
"""Topics whose example ends by itself."""


@pytest.mark.whole
@pytest.mark.parametrize("name", TRIED)
def test_the_example_of_a_topic_works(name: str) -> None:
    """The command a topic begins with is run and answers."""
    text = (ROOT / name).read_text(encoding="utf-8")
    (example,) = re.findall(r"\A# .+\n\nTry: `(.+)`\n", text)
    assert run(example)


def test_only_the_page_is_not_tried() -> None:
    """The one example that would run on and on is that of the page."""
    assert set(MANUAL) - set(TRIED) == {"examples/manual/page.md"}


def test_the_readme_leads_to_every_topic() -> None:
    """Each topic of the manual is linked in the README."""
    linked = set(re.findall(r"\((examples/manual/\w+\.md)\)", README))
    assert linked == set(MANUAL)


def test_rooms_are_there_or_said_to_be_planned() -> None:
    """A room of the table of floors exists, or its row begins with `planned`; never both."""
    rows = re.findall(r"^\| `?(\w+)`? \| \d+ \| (.+) \|$", section(DEVELOPERS, "Floors"), re.MULTILINE)
    assert len(rows) > 10
    package = ROOT / "solver" / "gripway"
    for room, what in rows:
        there = (package / f"{room}.py").is_file() or any((package / room).glob("*.py"))
        assert there != what.startswith("planned: "), room


@pytest.mark.parametrize(
    "module", [change_time, familiarity, hand_support, lean_effort, load], ids=lambda m: m.__name__
)
def test_a_cost_term_says_its_five_heads(module: Any) -> None:
    """DEVELOPERS.md asks every cost term for five heads; its module's docstring has them."""
    heads = re.findall(r"\*\*([^*]+)\*\*", section(DEVELOPERS, "A cost term"))
    assert len(heads) == 5
    flowing = " ".join(inspect.getdoc(module).split())
    for head in heads:
        assert f"{head}:" in flowing or (head == "Unit" and "Unit:" in flowing), head


@pytest.mark.parametrize("name", DECISIONS)
def test_every_decision_is_dated_and_has_its_four_parts(name: str) -> None:
    """What was at hand, what was chosen, against what, at what price; the newest first."""
    entries = re.split(r"^## ", (ROOT / name).read_text(encoding="utf-8"), flags=re.MULTILINE)[1:]
    assert len(entries) >= 3
    dates = [entry[:10] for entry in entries]
    assert dates == sorted(dates, reverse=True)
    for entry in entries:
        assert re.match(r"\d{4}-\d{2}-\d{2} \S", entry), entry[:40]
        for part in ("At hand", "Chosen", "Against", "Price"):
            assert f"*{part}*:" in " ".join(entry.split()), (entry[:40], part)


def test_developers_are_led_to_every_decision() -> None:
    """DEVELOPERS.md links each file of decisions, and no other."""
    assert len(DECISIONS) >= 6
    linked = set(re.findall(r"\((solver/decisions/\w+\.md)\)", section(DEVELOPERS, "Decisions")))
    assert linked == set(DECISIONS)


def test_the_changes_name_the_version() -> None:
    """CHANGELOG.md has a section Unreleased and one of the version the package carries."""
    titles = re.findall(r"^## (\S+)", (ROOT / "CHANGELOG.md").read_text(encoding="utf-8"), re.MULTILINE)
    assert titles[0] == "Unreleased"
    assert PROJECT["version"] in titles


def test_the_changes_are_sorted() -> None:
    """What is not released stands under Added, Changed and Fixed, in this order, in whole entries."""
    text = section((ROOT / "CHANGELOG.md").read_text(encoding="utf-8"), "Unreleased")
    parts = re.split(r"^### (\w+)\n", text, flags=re.MULTILINE)
    assert parts[0].strip() == ""
    assert parts[1::2] == ["Added", "Changed", "Fixed"]
    for part in parts[2::2]:
        assert all(line.startswith(("- ", "  ")) for line in part.splitlines() if line)


def test_every_dependency_has_its_reason() -> None:
    """Beside each requirement of pyproject.toml, at least once, stands what it is for."""
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    asked = [
        *PROJECT["dependencies"],
        *(one for extra in PROJECT["optional-dependencies"].values() for one in extra),
    ]
    explained = {
        re.split(r"[><=\[]", name)[0] for name in re.findall(r'^ *"([^"]+)",\s*# \w', text, re.MULTILINE)
    }
    assert {re.split(r"[><=\[]", one)[0] for one in asked} <= explained


def slug(heading: str) -> str:
    """The anchor a heading gets on a code host: lower case, signs dropped, hyphens for blanks."""
    return re.sub(r"[^\w\- ]", "", heading.strip().lower()).replace(" ", "-")


@every(DOCUMENTS)
def test_every_inner_link_leads_somewhere(name: str) -> None:
    """Files that are linked exist, and headings that are linked to stand in them."""
    text = FENCED.sub("", (ROOT / name).read_text(encoding="utf-8"))
    for target in re.findall(r"\]\(([^)\s]+)\)", text):
        if re.match(r"[a-z]+://", target):
            continue
        file, _, anchor = target.partition("#")
        path = (ROOT / name).parent / file if file else ROOT / name
        assert path.exists(), target
        if anchor:
            headings = re.findall(r"^#+ (.+)$", path.read_text(encoding="utf-8"), re.MULTILINE)
            assert anchor in {slug(heading) for heading in headings}, target
