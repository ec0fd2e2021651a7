"""A part too long for the memory there is: refused with a word before it is begun."""

import io
import random
import zipfile
from pathlib import Path

import pytest
from tests.bench.passages import score_text

from gripway import free_memory
from gripway.errors import RequestError, ScoreError
from gripway.free_memory import (
    BYTES_A_NOTE,
    LONG,
    LONG_BYTES,
    TREE_BYTES_A_BYTE,
    check_reading,
    check_room,
    free_bytes,
)
from gripway.score.reading.read_options import ReadOptions
from gripway.score.reading.score_reading import source_of
from gripway.tasks.scores import parts_in


@pytest.fixture
def machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A machine and a control group that say what the test writes, in the words of Linux (proc(5))."""
    monkeypatch.setattr(free_memory, "MACHINE", tmp_path / "meminfo")
    monkeypatch.setattr(free_memory, "GROUP", tmp_path)
    return tmp_path


def test_what_is_free_is_that_of_the_machine_and_of_the_group(machine: Path) -> None:
    """The less of the two; without a limit of the group that of the machine; nobody knows without either."""
    assert free_bytes() is None
    (machine / "meminfo").write_text("MemTotal: 9 kB\nMemAvailable:   4000 kB\n")
    assert free_bytes() == 4_096_000
    (machine / "memory.max").write_text("max\n")
    assert free_bytes() == 4_096_000
    (machine / "memory.max").write_text("3000000\n")
    (machine / "memory.current").write_text("1000000\n")
    assert free_bytes() == 2_000_000


def test_a_part_that_needs_more_is_refused(machine: Path) -> None:
    """At what is free it may begin, above it is told what it needs; short parts are never asked about."""
    notes = 400_000
    (machine / "meminfo").write_text(f"MemAvailable: {notes * BYTES_A_NOTE // 1024} kB\n")
    check_room(notes - 1)
    with pytest.raises(
        RequestError, match=r"400,001 notes need about 1\.8 GB of memory, and 1\.8 GB are free"
    ):
        check_room(notes + 1)
    (machine / "meminfo").write_text("MemAvailable: 0 kB\n")
    check_room(LONG)
    with pytest.raises(RequestError, match=r"0\.0 GB are free"):
        check_room(LONG + 1)


def test_where_nobody_tells_it_may_begin(machine: Path) -> None:
    """No file, or words that are no numbers."""
    check_room(10**9)
    (machine / "meminfo").write_text("MemAvailable: much\n")
    check_room(10**9)


def test_a_score_that_needs_more_is_refused_before_it_is_read(machine: Path) -> None:
    """At what is free its reading may begin, above it is refused with its name; short ones never."""
    size = 10 * LONG_BYTES
    (machine / "meminfo").write_text(f"MemAvailable: {size * TREE_BYTES_A_BYTE // 1024} kB\n")
    check_reading(size - 1024, "long.musicxml")
    with pytest.raises(RequestError, match=r"long\.musicxml: 47 MiB of score need about 0\.3 GB of memory"):
        check_reading(size + 1024, "long.musicxml")
    (machine / "meminfo").write_text("MemAvailable: 0 kB\n")
    check_reading(LONG_BYTES, "short.musicxml")


class _BegunError(Exception):
    """The reading of a score began."""


def test_a_part_of_too_many_notes_is_refused_before_it_is_read(
    machine: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One kilobyte decides: below, file and need are told; with it, or for some bars, it is read."""

    def begun(_data: bytes, _name: str) -> None:
        raise _BegunError

    monkeypatch.setattr("gripway.score.reading.musicxml.opened_score", begun)
    notes = LONG + 16
    source = source_of(score_text(notes).encode(), "line.musicxml")
    needed_kib = -(-notes * BYTES_A_NOTE // 1024)
    (machine / "meminfo").write_text(f"MemAvailable: {needed_kib} kB\n")
    with pytest.raises(_BegunError):
        parts_in(source, ())
    (machine / "meminfo").write_text(f"MemAvailable: {needed_kib - 1} kB\n")
    with pytest.raises(
        RequestError, match=r"line\.musicxml: 50,016 notes need .* Take some bars of the part"
    ):
        parts_in(source, ())
    with pytest.raises(_BegunError):
        parts_in(source, (), ReadOptions(bars="1-20"))


def test_an_archive_is_refused_by_what_it_unpacks_to(machine: Path) -> None:
    """Its directory says how long its files are; the archive itself is short."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("score", "<score/>" + random.Random(1).randbytes(LONG_BYTES // 50).hex() * 30)
    (machine / "meminfo").write_text("MemAvailable: 9000 kB\n")
    with pytest.raises(RequestError, match=r"x\.mxl: 5 MiB of score need about 0\.0 GB of memory"):
        source_of(target.getvalue(), "x.mxl")
    (machine / "meminfo").write_text("MemAvailable: 90000 kB\n")
    with pytest.raises(ScoreError, match="container"):
        source_of(target.getvalue(), "x.mxl")
