"""What is kept between runs: whole or not at all, never stale, and no trouble where it cannot be kept."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from gripway import files
from gripway.catalog import cache_folder as module
from gripway.catalog.cache_folder import NO_CACHE, Data, digest, kept_as, kept_folder

DATA = {"version": 1, "cents": [1.5, None]}


class Maker:
    """Makes an object and counts how often it was asked."""

    def __init__(self, made: dict[str, Any] | None = None) -> None:
        self.made = DATA if made is None else made
        self.times = 0

    def __call__(self) -> dict[str, Any]:
        """The object."""
        self.times += 1
        return self.made


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A cache folder of this test's own; gripway's folder in it is not there yet."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.delenv(NO_CACHE, raising=False)
    return tmp_path


def kept(name: str, make: Callable[[], Data | None]) -> Data | None:
    """The kept object of a name as it is, made when there is none that can be read."""
    return kept_as(name, make, lambda data: data)


def names() -> set[str]:
    """The files that are kept, hidden ones too."""
    return {path.name for path in kept_folder().iterdir()} if kept_folder().is_dir() else set()


def test_the_folder_follows_the_desktop_standard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """XDG_CACHE_HOME, else .cache in the home folder (XDG Base Directory Specification 0.8)."""
    assert kept_folder() == tmp_path / "gripway"
    monkeypatch.setenv("HOME", str(tmp_path / "me"))
    for unset in ("", None):
        if unset is None:
            monkeypatch.delenv("XDG_CACHE_HOME")
        else:
            monkeypatch.setenv("XDG_CACHE_HOME", unset)
        assert kept_folder() == tmp_path / "me" / ".cache" / "gripway"


def test_what_was_made_once_is_read_the_next_time() -> None:
    """The second call gives the same object and makes nothing; one file holds it as JSON."""
    make = Maker()
    assert [kept("survey-a-1", make) for _ in range(3)] == [DATA] * 3
    assert make.times == 1
    assert names() == {"survey-a-1.json"}
    assert json.loads((kept_folder() / "survey-a-1.json").read_bytes()) == DATA


def test_nothing_is_kept_of_nothing() -> None:
    """None is an answer, asked for again each time, and leaves no file."""
    assert kept("survey-a-1", lambda: None) is None
    assert names() == set()


@pytest.mark.parametrize(
    "content",
    [b"", b'{"version": 1, "cents": [1.', b"[1, 2]", b"null", b"\xff\xfe\x00", b"[" * 100_000],
    ids=["empty", "cut short", "a list", "null", "no text", "too deep"],
)
def test_what_cannot_be_read_is_made_anew(content: bytes) -> None:
    """A cut, foreign or broken file is no error: the object is made again and takes its place."""
    kept_folder().mkdir()
    (kept_folder() / "survey-a-1.json").write_bytes(content)
    make = Maker()
    assert [kept("survey-a-1", make), kept("survey-a-1", make)] == [DATA, DATA]
    assert make.times == 1


def test_a_file_appears_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    """Until the whole text is written beside it there is no file of the name, or the old one."""
    seen: list[set[str]] = []
    fill = files._fill_new

    def watched(file: int, data: bytes, before: os.stat_result | None) -> None:
        fill(file, data, before)
        assert json.loads(data) == DATA
        seen.append(names())

    monkeypatch.setattr(files, "_fill_new", watched)
    assert kept("survey-a-1", Maker()) == DATA
    assert ["survey-a-1.json" in written for written in seen] == [False]
    assert names() == {"survey-a-1.json"}


def test_a_write_that_breaks_off_leaves_nothing_to_read(monkeypatch: pytest.MonkeyPatch) -> None:
    """When the text cannot be written whole the answer is given all the same, and made again next time."""

    def fails(*_: object) -> None:
        raise OSError("no space left")

    monkeypatch.setattr(files, "_fill_new", fails)
    make = Maker()
    assert [kept("survey-a-1", make), kept("survey-a-1", make)] == [DATA, DATA]
    assert make.times == 2
    assert names() == set()


def _no_permission(*_: object, **__: object) -> None:
    raise PermissionError("read-only")


def _no_entry(_user: int) -> None:
    raise KeyError


def _folder_is_read_only(patch: pytest.MonkeyPatch, _home: Path) -> None:
    patch.setattr("gripway.catalog.cache_folder.write_whole", _no_permission)


def _folder_cannot_be_made(patch: pytest.MonkeyPatch, _home: Path) -> None:
    patch.setattr(Path, "mkdir", _no_permission)


def _a_file_is_in_the_way(_patch: pytest.MonkeyPatch, home: Path) -> None:
    (home / "gripway").write_text("not a folder")


def _there_is_no_home(patch: pytest.MonkeyPatch, _home: Path) -> None:
    patch.delenv("XDG_CACHE_HOME")
    patch.delenv("HOME")
    patch.setattr("pwd.getpwuid", _no_entry)


@pytest.mark.parametrize(
    "trouble", [_folder_is_read_only, _folder_cannot_be_made, _a_file_is_in_the_way, _there_is_no_home]
)
def test_where_nothing_can_be_kept_the_answer_is_made_each_time(
    trouble: Callable[[pytest.MonkeyPatch, Path], None], monkeypatch: pytest.MonkeyPatch, home: Path
) -> None:
    """A folder that cannot be written, made or found is no trouble: the same answer, no error."""
    trouble(monkeypatch, home)
    make = Maker()
    assert [kept("survey-a-1", make), kept("survey-a-1", make)] == [DATA, DATA]
    assert make.times == 2


def test_the_variable_turns_keeping_off(monkeypatch: pytest.MonkeyPatch) -> None:
    """With GRIPWAY_NO_CACHE nothing is written, and what is kept already is not read."""
    monkeypatch.setenv(NO_CACHE, "1")
    assert kept("survey-a-1", Maker()) == DATA
    assert names() == set()
    monkeypatch.delenv(NO_CACHE)
    kept("survey-a-1", Maker({"old": True}))
    monkeypatch.setenv(NO_CACHE, "1")
    assert kept("survey-a-1", Maker()) == DATA


def test_the_newest_three_of_a_kind_stay() -> None:
    """A fourth digest of the same flute takes the oldest away; other files are left alone."""
    kept("survey-piccolo-plain-1", Maker())
    (kept_folder() / "mine.txt").write_text("of somebody else")
    for number in range(1, 5):
        kept(f"survey-concert-flute-plain-{number}", Maker())
        written = kept_folder() / f"survey-concert-flute-plain-{number}.json"
        os.utime(written, ns=(number, number))  # whatever the clock of the disk resolves
    left = {f"survey-concert-flute-plain-{number}.json" for number in (2, 3, 4)}
    assert names() == left | {"survey-piccolo-plain-1.json", "mine.txt"}


def test_versions_in_turn_make_nothing_anew() -> None:
    """Three versions of gripway on one account, each with its own digest, find what they kept."""
    makers = {version: Maker() for version in "abc"}
    for version in "abcabcabc":
        kept(f"survey-a-{version}", makers[version])
    assert [make.times for make in makers.values()] == [1, 1, 1]


def test_a_flute_with_fewer_parts_is_another_kind() -> None:
    """Keeping the flute with a B foot leaves the one with B foot and high C, whose name goes on."""
    kept("survey-concert-flute-b-foot-high-c-1", Maker())
    kept("survey-concert-flute-b-foot-1", Maker())
    assert names() == {"survey-concert-flute-b-foot-1.json", "survey-concert-flute-b-foot-high-c-1.json"}


@pytest.fixture
def code(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Tables in a folder and beside it, and modules that import each other: of this test alone."""
    for name, text in {
        "tables/deep/a.csv": "x\n1\n",
        "tables/b.toml": "x = 1\n",
        "tables/other.csv": "x\n1\n",
        "gripway/room/one.py": "from gripway.room.two import Y\n\nif Y:\n    from gripway.far import Z\n",
        "gripway/room/two.py": "Y = 1\n",
        "gripway/far.py": "Z = 1\n",
        "gripway/room/three.py": "X = 1\n",
    }.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text)
    monkeypatch.setattr(module, "tables_folder", lambda: tmp_path / "tables")
    monkeypatch.setattr(module, "CODE", tmp_path)
    return tmp_path


def of(*texts: str) -> str:
    """The digest of texts, of one module and of some of the tables."""
    return digest(*texts, code=["gripway.room.one"], tables=["deep", "b.toml"])


USED = ("tables/deep/a.csv", "tables/b.toml", *(f"gripway/{name}.py" for name in ("room/two", "far")))


@pytest.mark.parametrize("changed", USED)
def test_the_digest_changes_with_all_it_depends_on(changed: str, code: Path) -> None:
    """One changed byte of a table named or a module imported is another digest; written back the old one."""
    before = of("concert-flute")
    text = (code / changed).read_text()
    (code / changed).write_text(text.replace("1", "2"))
    assert of("concert-flute") != before
    (code / changed).write_text(text)
    assert of("concert-flute") == before


@pytest.mark.parametrize("changed", ["tables/other.csv", "gripway/room/three.py"])
def test_the_digest_stays_when_anything_else_changes(changed: str, code: Path) -> None:
    """A table not named and a module not imported, though beside the others, change nothing."""
    before = of("concert-flute")
    (code / changed).write_text("x\n2\n")
    assert of("concert-flute") == before


def test_the_digest_changes_with_the_texts(code: Path) -> None:
    """Flute and parts count one by one: no two lists of them run together."""
    lists = [("concert-flute",), ("concert-flute", "b-foot"), ("concert-fluteb-foot",), ("b-foot",), ()]
    assert len({of(*texts) for texts in lists}) == len(lists)


def test_a_new_or_lost_table_is_another_digest(code: Path) -> None:
    """A table more in a folder named, or one less, counts as a change."""
    digests = {of()}
    (code / "tables" / "deep" / "c.csv").write_text("")
    digests.add(of())
    (code / "tables" / "deep" / "c.csv").unlink()
    (code / "tables" / "deep" / "a.csv").unlink()
    digests.add(of())
    assert len(digests) == 3


def test_every_import_of_the_model_is_found() -> None:
    """What Python loads of gripway for a survey is in what its digest reads: nothing is left out."""
    survey = "import sys, gripway.acoustics.make_survey"
    script = f"{survey}; print(*[m for m in sys.modules if m.startswith('gripway.')])"
    loaded = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    modules = {name for name in loaded.stdout.split() if not _is_room(name)}
    assert modules - set(module.WORDING) <= set(module._imported(["gripway.acoustics.make_survey"]))


def _is_room(name: str) -> bool:
    """Whether a module is a folder: its `__init__` has a docstring and nothing else."""
    return (module.CODE / name.replace(".", "/")).is_dir()


def test_a_dict_that_is_not_ours_is_overwritten(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the reader refuses is made anew, kept, and read from then on."""
    made: list[int] = []

    def make() -> dict[str, object]:
        made.append(1)
        return {"fine": 1}

    kept("kind-plain-1", lambda: {"strange": []})
    assert kept_as("kind-plain-1", make, lambda data: data["fine"]) == 1
    assert kept_as("kind-plain-1", make, lambda data: data["fine"]) == 1
    assert made == [1]
