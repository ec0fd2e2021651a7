"""A part too long for the memory there is: refused with a word before it is begun."""

from pathlib import Path

import pytest

from gripway import free_memory
from gripway.errors import RequestError
from gripway.free_memory import BYTES_A_NOTE, LONG, check_room, free_bytes


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
