"""The whole process as a part grows: CPU seconds, peak memory, and what is refused with a word."""

from pathlib import Path

import pytest
from tests.bench.clock import GRIPWAY, record, seconds_and_mib, sized
from tests.bench.passages import write_score

pytestmark = pytest.mark.bench

SIZES = sized((10, 100, 1_000, 10_000, 100_000), (10, 100, 1_000))
TOO_MANY = 1_000_000


def test_growth_with_the_notes(tmp_path: Path) -> None:
    """Every part gets its answer; the bench prints time and memory, and the growth from size to size."""
    last = 0.0
    for notes in SIZES:
        command = [*GRIPWAY, "finger", str(write_score(tmp_path, notes)), "--format", "json"]
        code, seconds, mib = seconds_and_mib(command)
        grown = f", {seconds / last:.1f} x the time" if last else ""
        print(f"\nbench: gripway finger, {notes} notes: {seconds:.2f} s of CPU, {mib:.0f} MiB{grown}", end="")
        record(f"gripway finger to JSON, {notes} notes in one part", seconds, "s")
        record(f"peak memory, {notes} notes in one part", mib, "MiB")
        last = seconds
        assert code == 0


def test_a_million_notes_are_refused(tmp_path: Path) -> None:
    """A part longer than any flute part is refused before memory is taken, in a second or two."""
    command = [*GRIPWAY, "finger", str(write_score(tmp_path, TOO_MANY))]
    code, seconds, mib = seconds_and_mib(command)
    print(f"\nbench: {TOO_MANY} notes refused after {seconds:.2f} s of CPU, {mib:.0f} MiB", end="")
    assert code == 2


def test_the_first_answer_on_a_flute(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With nothing kept the answer is the same; the bench prints its time over that of the next one."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    command = [*GRIPWAY, "finger", str(write_score(tmp_path, 700)), "--format", "json"]
    (first, cold, _), (second, warm, _) = seconds_and_mib(command), seconds_and_mib(command)
    print(f"\nbench: first answer {cold:.2f} s, the next {warm:.2f} s: {cold / warm:.2f} x", end="")
    record("first answer on a flute, 700 notes", cold, "s")
    record("the next answer, 700 notes", warm, "s")
    assert first == second == 0
