"""A library as a whole process: notes a second of one core, growth and memory with the number of scores."""

from pathlib import Path

import pytest
from tests.bench.clock import GRIPWAY, record, seconds_and_mib, sized

pytestmark = pytest.mark.bench

DATA = Path(__file__).parents[1] / "data"
COPIES = sized((2, 12), (1, 2))
"""How often the real parts are repeated."""


def library(folder: Path, copies: int) -> tuple[int, float, float]:
    """A run over so many copies of the real parts by one process: notes, CPU seconds, peak MiB."""
    scores = folder / f"scores-{copies}"
    scores.mkdir()
    for number in range(copies):
        for path in DATA.glob("*.musicxml"):
            (scores / f"{number}-{path.name}").write_bytes(path.read_bytes())
    out = folder / f"out-{copies}"
    words = [*GRIPWAY, "library", str(scores), "--out", str(out), "--jobs", "1"]
    code, seconds, mib = seconds_and_mib(words)
    assert code in (0, 1)
    rows = (out / "data" / "statistics.csv").read_text(encoding="utf-8").splitlines()
    notes = int(rows[1].split(",")[3])
    return notes, seconds, mib


def test_notes_a_second_and_memory(tmp_path: Path) -> None:
    """The real parts twice and twelve times: the notes come in proportion; the bench prints the rest."""
    few, many = (library(tmp_path, copies) for copies in COPIES)
    for notes, seconds, mib in (few, many):
        record(f"library, {notes} notes, one process", notes / seconds, "notes/s")
        print(f"library, {notes} notes: {seconds:.2f} s of CPU, {notes / seconds:.0f} notes/s, {mib:.0f} MiB")
    print(
        f"  {many[0] / few[0]:.0f} x the notes: {many[1] / few[1]:.2f} x the time, {many[2] / few[2]:.2f} x"
    )
    assert many[0] * COPIES[0] == few[0] * COPIES[1]
