"""The command as a whole process: CPU seconds, ratios against the named peers in one run."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from tests.bench.clock import GRIPWAY, compiled, cpu_seconds, in_turn, report
from tests.bench.passages import write_score
from tests.bench.peer_process import read, recounted

pytestmark = pytest.mark.bench

DATA = Path(__file__).parents[1] / "data"
PEER = (sys.executable, "-m", "tests.bench.peer_process")


def test_a_part_of_1000_notes_against_general_libraries(tmp_path: Path) -> None:
    """The peer adds our route up to the same effort, and its own without charges is no dearer."""
    score = str(write_score(tmp_path, 1000))
    finger = (*GRIPWAY, "finger", score, "--format", "json")
    timed = in_turn(
        7,
        lambda: cpu_seconds(finger),
        lambda: cpu_seconds((*PEER, score)),
        lambda: cpu_seconds((*PEER, score, "--keep-hand-moves")),
    )
    peers = ("ElementTree + networkx", "the same, hand moves kept")
    report("gripway finger, 1000 notes, to JSON", timed, *peers)
    ours, peers_own = (json.loads(subprocess.check_output(command)) for command in (finger, (*PEER, score)))
    plain = ours["effort"] - ours["charges"]["learning"] - ours["charges"]["changing"]
    assert recounted(read(Path(score)), [note["grip"] for note in ours["notes"]]) == pytest.approx(plain)
    assert peers_own["effort"] <= plain


@pytest.mark.parametrize("name", sorted(path.name for path in DATA.glob("*.musicxml")))
def test_a_real_part(name: str) -> None:
    """A real part goes through; the bench prints its CPU time."""
    score = str(DATA / name)
    command = (*GRIPWAY, "finger", score, "--format", "json")
    notes = len(json.loads(subprocess.check_output(command, stderr=subprocess.DEVNULL))["notes"])
    report(f"gripway finger {name}, {notes} notes", in_turn(5, lambda: cpu_seconds(command)))
    assert notes > 0


def test_a_cold_question_against_importing_numpy() -> None:
    """The answer comes; the bench prints its time over that of `import numpy`."""
    grips = (*GRIPWAY, "grips", "F#6")
    numpy = (sys.executable, "-c", "import numpy")
    timed = in_turn(7, lambda: cpu_seconds(grips), lambda: cpu_seconds(numpy))
    report("gripway grips F#6, cold", timed, "python -c 'import numpy'")
    assert b"F#6" in subprocess.check_output(grips)


def test_one_note_against_importing_numpy() -> None:
    """The answer comes; both have bytecode kept, as an installed wheel has it."""
    compiled()
    note = (*GRIPWAY, "finger", "--notes", "F#6", "--format", "json", "-q")
    numpy = (sys.executable, "-c", "import numpy")
    timed = in_turn(21, lambda: cpu_seconds(note), lambda: cpu_seconds(numpy))
    report("gripway finger --notes F#6, to JSON, bytecode kept", timed, "python -c 'import numpy'")
    assert len(json.loads(subprocess.check_output(note))["notes"]) == 1


@pytest.mark.parametrize("pitches", [("F6", "G6"), ("E6", "G6"), ("D5", "A5")])
def test_a_trill_warm(pitches: tuple[str, str]) -> None:
    """The pairs come; the bench prints the CPU time of the whole process with the model's pairs kept."""
    command = (*GRIPWAY, "trill", *pitches, "--format", "json")
    subprocess.check_output(command, stderr=subprocess.DEVNULL)
    report(f"gripway trill {' '.join(pitches)}, warm", in_turn(7, lambda: cpu_seconds(command)))
    assert json.loads(subprocess.check_output(command))["pairs"]
