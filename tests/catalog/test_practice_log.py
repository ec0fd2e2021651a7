"""The log file: only added to, nothing lost, other files left alone."""

import subprocess
import sys
import time
from pathlib import Path

import pytest

from gripway.catalog.own_files.practice_log import append, read_log
from gripway.errors import PlayerFileError, RequestError

ENTRIES = [{"kind": "reached", "cell": "a", "quarters": number} for number in range(4)]
WRITER = """
import itertools, sys
from pathlib import Path
from gripway.catalog.own_files.practice_log import append
for number in itertools.count():
    append(Path(sys.argv[1]), [{"number": number, "text": "x" * 3000}])
    print(number, flush=True)
"""


def test_what_is_appended_is_read_in_order(tmp_path: Path) -> None:
    """Entries of several days come back as they were written; a file that is not there yet has none."""
    log = tmp_path / "a.log"
    assert read_log(log).entries == ()
    append(log, ENTRIES[:2])
    append(log, ENTRIES[2:])
    assert [entry["quarters"] for entry in read_log(log).entries] == [0, 1, 2, 3]


def test_a_log_cut_off_anywhere_keeps_every_whole_line_and_goes_on(tmp_path: Path) -> None:
    """Cut at every byte, as an interruption may: whole lines stay, the rest is passed over."""
    whole = tmp_path / "whole.log"
    append(whole, ENTRIES)
    data = whole.read_bytes()
    for end in range(len(data) + 1):
        cut = tmp_path / "cut.log"
        cut.write_bytes(data[:end])
        kept = data[:end].count(b"\n") + (data[end : end + 1] == b"\n")
        append(cut, [{"kind": "new"}])
        found = read_log(cut)
        assert [entry.get("quarters") for entry in found.entries] == [*range(kept), None]
        assert len(found.broken) <= 1
        assert cut.read_bytes().startswith(data[:end])


def test_a_process_killed_while_writing_loses_nothing_it_has_told(tmp_path: Path) -> None:
    """Killed in the middle: every entry said to be written is there, and the log can be gone on with."""
    log = tmp_path / "killed.log"
    writer = subprocess.Popen([sys.executable, "-c", WRITER, str(log)], stdout=subprocess.PIPE, text=True)
    assert writer.stdout is not None
    for _ in range(20):
        writer.stdout.readline()
    time.sleep(0.003)
    writer.kill()
    told = 19 + len(writer.stdout.read().split("\n")) - 1
    writer.wait()
    writer.stdout.close()
    numbers = [entry["number"] for entry in read_log(log).entries]
    assert numbers[: told + 1] == list(range(told + 1))
    append(log, [{"number": -1}])
    assert read_log(log).entries[-1]["number"] == -1


@pytest.mark.parametrize(
    "data", [b"# My score\n", b"<score/>", b"\x01\x02\n", b'{"log": "another"}\n', b"[1]\n"]
)
def test_another_file_is_left_alone(tmp_path: Path, data: bytes) -> None:
    """A file that is no log is refused on reading and on writing, and not touched."""
    path = tmp_path / "score.xml"
    path.write_bytes(data)
    for act in (lambda: read_log(path), lambda: append(path, ENTRIES)):
        with pytest.raises(PlayerFileError, match="not a practice log"):
            act()
    assert path.read_bytes() == data


def test_a_folder_and_a_missing_folder_are_told(tmp_path: Path) -> None:
    """Neither can be a log."""
    with pytest.raises(RequestError, match="is a folder"):
        read_log(tmp_path)
    with pytest.raises(PlayerFileError, match="cannot be written"):
        append(tmp_path / "nowhere" / "a.log", ENTRIES)
