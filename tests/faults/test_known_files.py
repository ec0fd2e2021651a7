"""Every file that once broke the tool is refused with its place and what to do, and left alone."""

import json
import shutil
from pathlib import Path

import pytest
from tests.cli.run_gripway import ask

FILES = sorted((Path(__file__).parent / "files").iterdir())
PLACES = {
    "chordfirst.xml": "chordfirst.xml, bar 1",
    "dupc.mxl": "dupc.mxl:'META-INF/container.xml'",
    "ent.xml": "ent.xml, line 1",
    "expdur2.xml": "expdur2.xml, bar 1",
    "hugedur.xml": "hugedur.xml, bar 1",
    "idna.xml": "idna.xml",
    "log_infinity.log": "log_infinity.log: line 3",
    "log_minutes_text.log": "log_minutes_text.log: line 1",
    "lzmabad.mxl": "lzmabad.mxl:'s.xml'",
    "member_broken.mxl": "member_broken.mxl:",
    "print.xml": "print.xml",
}


def test_every_file_has_a_place() -> None:
    """No file is forgotten."""
    assert [path.name for path in FILES] == sorted(PLACES)


@pytest.mark.parametrize("form", ["text", "json", "html", "musicxml"])
@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_a_file_that_once_broke_the_tool_is_refused(path: Path, form: str, tmp_path: Path) -> None:
    """Exit 2, nothing on standard output, one message with the place and a next step."""
    mine = tmp_path / path.name
    shutil.copyfile(path, mine)
    words = ("practise", "--log", mine) if path.suffix == ".log" else ("finger", mine)
    answer = ask(*words, "--format", form)
    assert (answer.code, answer.data) == (2, b"")
    said = answer.err.rstrip().replace(f"{tmp_path}/", "")
    if form == "json":
        error = json.loads(said)["error"]
        said = f"gripway: {error['place']}: {error['what']}. {error['next_step']}"
    what, _, next_step = said.rpartition(". ")
    assert what.startswith(f"gripway: {PLACES[path.name]}")
    assert next_step.split()[0] in ("Export", "Give", "Mend", "Save", "Take")
    assert mine.read_bytes() == path.read_bytes()
