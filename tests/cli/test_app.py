"""The command as a whole: help, exit codes, streams, interruptions, and what it loads."""

import json
import os
import signal
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import click
import pytest
from tests.cli.run_gripway import PASSAGE, REPEATS, ask, start
from tests.every import every

from gripway.cli.app import COMMANDS, gripway

HEAVY = ("numpy", "networkx", "ortools", "pandas", "rich", "music21")


def commands() -> list[click.Command]:
    """The group and every subcommand."""
    context = click.Context(gripway)
    found = [gripway.get_command(context, name) for name in gripway.list_commands(context)]
    return [gripway, *(command for command in found if command is not None)]


def test_the_version_is_that_of_the_distribution() -> None:
    """`--version` says what the installed package's metadata says."""
    answer = ask("--version")
    assert (answer.code, version("gripway") in answer.out) == (0, True)


def test_no_subcommand_is_a_bad_request_with_the_help() -> None:
    """Alone the command says how it is used, on standard error."""
    answer = ask()
    assert (answer.code, answer.data) == (2, b"")
    assert "Examples:" in answer.err


@every(["", *COMMANDS])
def test_every_help_page_shows_an_example(name: str) -> None:
    """Each help page, by --help and by -h, goes to standard output and shows a line to try."""
    words = [name] if name else []
    page = ask(*words, "--help")
    assert (page.code, page.err) == (0, "")
    assert "Example" in page.out
    assert "gripway " in page.out.partition("Example")[2]
    assert ask(*words, "-h").out == page.out


def test_every_option_and_command_is_described() -> None:
    """No option without a help text, no command without one."""
    silent = [
        f"{command.name} {option.name}"
        for command in commands()
        for option in command.params
        if isinstance(option, click.Option) and not option.help
    ]
    assert silent == []
    assert all(command.help for command in commands())


def test_help_pages_fit_a_usual_terminal() -> None:
    """No line is longer than the 80 columns of a usual terminal, but for the longest examples."""
    pages = [ask(name, "--help").out for name in COMMANDS]
    assert max(len(line) for page in pages for line in page.splitlines()) <= 88


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["fingr"], "No such command 'fingr' (did you mean finger?). See "),
        (["xyz"], "No such command 'xyz'"),
        (["finger", "--nots", "E6"], "--nots"),
        (["finger", "--notes"], "--notes"),
        (["finger", "--notes", "E6", "--tempo", "fast"], "'fast' is not a valid float"),
        (["finger", "--notes", "E6", "--format", "pdf"], "'pdf' is not one of"),
        (["finger", "one.xml", "two.xml"], "two.xml"),
        (["grips"], "PITCH"),
        (["completion", "powershell"], "'powershell' is not one of"),
    ],
)
def test_a_slip_of_the_pen_is_named(words: list[str], said: str) -> None:
    """A wrong command, option or value is exit 2, said on standard error only."""
    answer = ask(*words)
    assert (answer.code, answer.data) == (2, b"")
    assert said in answer.err


def test_data_goes_to_standard_output_and_talk_to_standard_error() -> None:
    """A real process: the JSON alone on one stream, the remarks on the other."""
    process = start("finger", REPEATS, "--bars", "1-4", "--format", "json")
    out, err = process.communicate()
    assert process.returncode == 0
    assert out.startswith(b'{"schema": 1')
    assert err == b"" or err.startswith(b"remark: ")


def test_a_reader_that_leaves_early_is_no_error() -> None:
    """A closed pipe ends the command without a word (common practice of Unix tools)."""
    process = start("finger", REPEATS, "--format", "json")
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.close()
    err = process.stderr.read()
    process.stderr.close()
    assert (process.wait(), b"Traceback" in err, b"Exception" in err) == (0, False, False)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_is_said() -> None:
    """What cannot be written is exit 2 with the reason, not a traceback."""
    with open("/dev/full", "wb") as full:
        process = start("finger", "--notes", PASSAGE, "--tempo", "96", stdout=full)
        _, err = process.communicate()
    assert process.returncode == 2
    assert err.startswith(b"gripway: standard output: cannot be written")
    assert b"Traceback" not in err


def test_the_keyboard_stops_a_running_command() -> None:
    """An interrupt ends the work with one word and the exit code shells expect (130 = 128 + SIGINT)."""
    script = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"
    script += "import threading, os\n"
    script += "from gripway.cli.app import main\n"
    script += "import gripway.cli.commands.finger_command as f\n"
    script += "f.finger_task = lambda *_: os.kill(os.getpid(), signal.SIGINT)\n"
    script += "main()\n"
    process = subprocess.run(
        [sys.executable, "-c", script, "finger", "--notes", PASSAGE], capture_output=True, check=False
    )
    assert process.returncode == 128 + signal.SIGINT
    assert process.stderr.split() == b"gripway: stopped".split()


@pytest.mark.parametrize(
    ("words", "loaded"),
    [
        (["--help"], set()),
        (["finger", "--notes", PASSAGE, "--format", "json"], set()),
        (["finger", "--notes", PASSAGE], {"rich"}),
        (["finger", "--notes", PASSAGE, "--format", "csv"], set()),
        (["grips", "F#6", "--format", "csv"], set()),
        (["grips", "F#6", "--format", "json"], set()),
        (["grips", "F#6"], {"rich"}),
        (["finger", str(REPEATS), "--bars", "1-4", "--format", "musicxml"], set()),
    ],
)
def test_only_what_an_answer_needs_is_loaded(words: list[str], loaded: set[str]) -> None:
    """Table printing for text only, nothing heavy else: the model's word on the flute is shipped."""
    script = (
        "import sys\nfrom gripway.cli.app import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        f"print(*[name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)\n"
    )
    ran = subprocess.run([sys.executable, "-c", script, *words], capture_output=True, check=True)
    assert set(ran.stderr.decode().splitlines()[-1].split()) == loaded


def test_answers_do_not_depend_on_the_language_of_the_machine() -> None:
    """Text goes out as UTF-8 in the plainest of locales too."""
    environment = os.environ | {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONIOENCODING": "ascii"}
    process = start("grips", "F#6", env=environment)
    out, _ = process.communicate()
    assert (process.returncode, "±" in out.decode("utf-8")) == (0, True)


def test_a_fault_of_ours_has_an_exit_code_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """Never that of an answer (0, 1) or a refusal (2): one message with place and next step, no traceback."""

    def broken(*_: object) -> None:
        raise KeyError("nothing of that name")

    monkeypatch.setattr("gripway.cli.commands.grips_command.choose_instrument", broken)
    answer = ask("grips", "F#6")
    assert (answer.code, answer.data) == (70, b"")
    assert answer.err.startswith("gripway: cli/commands/grips_command.py:")
    assert "a fault in gripway: KeyError" in answer.err
    assert answer.err.rstrip().endswith("if you may share it")


def test_too_little_memory_is_told_and_is_no_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    """A part too long for the machine is a refusal with the next step."""

    def broken(*_: object) -> None:
        raise MemoryError

    monkeypatch.setattr("gripway.cli.commands.grips_command.choose_instrument", broken)
    answer = ask("grips", "F#6")
    assert (answer.code, answer.data) == (2, b"")
    assert answer.err.rstrip().endswith("Ask for some --bars of it")


@pytest.mark.parametrize(
    "name", ["gripway.cli.app", "click", "gripway.cli.commands.finger_command", "gripway.route.solve"]
)
def test_the_keyboard_stops_a_command_that_is_still_loading(name: str) -> None:
    """Whatever is being loaded when Ctrl-C comes: exit 130, no traceback."""
    script = (
        "import sys, importlib.abc\n"
        "class Stop(importlib.abc.MetaPathFinder):\n"
        "    def find_spec(self, name, path=None, target=None):\n"
        f"        if name == {name!r}: raise KeyboardInterrupt\n"
        "sys.meta_path.insert(0, Stop())\n"
        "from gripway.__main__ import launch\n"
        "launch()\n"
    )
    words = [sys.executable, "-c", script, "finger", "--notes", "E6"]
    ran = subprocess.run(words, capture_output=True, text=True, check=False)
    assert (ran.returncode, ran.stdout, "Traceback" in ran.stderr) == (130, "", False)


def test_exit_codes_are_documented() -> None:
    """The help page and the manual list every code there is."""
    manual = (Path(__file__).resolve().parents[2] / "examples" / "manual" / "commands.md").read_text(
        encoding="utf-8"
    )
    (paragraph,) = [text for text in manual.split("\n\n") if "Exit code 0: done" in text and "130" in text]
    for code in ("1", "2", "70", "130"):
        assert code in ask("--help").out.partition("Exit status")[2]
        assert f"{code}:" in paragraph


@pytest.mark.parametrize(
    ("words", "code", "parts"),
    [
        (("finger", "--notes", "E6 Fis6"), "request", ("word 2", "neither a pitch", "In English it is F#6")),
        (("finger", "--notes", "E6", "--tempo", "fast"), "usage", ("", "'fast'", "See gripway")),
        (("finger", "none.xml"), "request", ("none.xml", "no such file", "Check the path")),
        (("trill", "F6"), "usage", ("", "HIGH", "See gripway")),
    ],
)
@pytest.mark.parametrize("asked", [("--format", "json"), ("--format=json",)])
def test_errors_are_json_where_json_was_asked_for(
    words: tuple[str, ...], code: str, parts: tuple[str, ...], asked: tuple[str, ...]
) -> None:
    """The last line of standard error is an object with the parts of the message; there is no answer."""
    answer = ask(*words, *asked)
    assert (answer.code, answer.data) == (2, b"")
    told = json.loads(answer.err.splitlines()[-1])
    error = told.pop("error")
    assert (told, error["code"], set(error)) == ({"schema": 1}, code, {"code", "what", "place", "next_step"})
    for part, key in zip(parts, ("place", "what", "next_step"), strict=True):
        assert part in error[key]
    assert ask(*words).err.splitlines()[-1].startswith("gripway: ")
